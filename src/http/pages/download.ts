import type { Response } from 'express'

/** A file that a page offers: a table as text, or a workbook. */
export interface DownloadedFile {
  readonly name: string
  readonly content: string | Buffer
  /** The same as text, where it is a workbook. */
  readonly table?: string
}

/** The words of a file, by which it is known whom it names. */
export function wordsOf({ content, table }: DownloadedFile): string {
  return table ?? String(content)
}

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet'

/** Sends a table as a file. */
export function sendFile(response: Response, { name, content }: DownloadedFile): void {
  response
    .attachment(name)
    .type(typeof content === 'string' ? 'text/csv; charset=utf-8' : XLSX)
    .send(content)
}
