import type { Response } from 'express'

/** A file that a page offers: a table as text, or a workbook. */
export interface DownloadedFile {
  readonly name: string
  readonly content: string | Buffer
}

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet'

/** Sends a table as a file. */
export function sendFile(response: Response, { name, content }: DownloadedFile): void {
  response
    .attachment(name)
    .type(typeof content === 'string' ? 'text/csv; charset=utf-8' : XLSX)
    .send(content)
}
