import type { Response } from 'express'

/** A file that a page offers. */
export interface DownloadedFile {
  readonly name: string
  readonly text: string
}

/** Sends a table as a file. */
export function sendFile(response: Response, { name, text }: DownloadedFile): void {
  response.attachment(name).type('text/csv; charset=utf-8').send(text)
}
