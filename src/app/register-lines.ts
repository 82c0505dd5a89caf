/** A register as rows, whatever file it came in. */
import type { Readable } from 'node:stream'
import { CsvError, parse } from 'csv-parse'
import { readSheet } from 'read-excel-file/node'
import { Refusal } from '../core/refusals.ts'
import type { RegisterLine } from './import-register.ts'

/**
 * Rows of a CSV file (RFC 4180, UTF-8 with or without a mark), one at a time, whatever its size.
 * @throws {Refusal} register-unreadable
 */
export async function* csvLines(file: Readable): AsyncGenerator<RegisterLine> {
  const parser = file.pipe(parse({ bom: true, info: true, relaxColumnCount: true, skipEmptyLines: true }))
  // A file that breaks off ends the rows with its error; the pipe alone would leave them waiting.
  file.on('error', (error) => parser.destroy(error))
  try {
    for await (const { record, info } of parser as AsyncIterable<CsvRow>)
      yield { line: info.lines, cells: record }
  } catch (cause) {
    if (!(cause instanceof CsvError)) throw cause
    throw new Refusal('register-unreadable', `This is not CSV as RFC 4180 has it: ${cause.message}`, {
      cause,
    })
  }
}

/** What the parser yields with `info` set. */
interface CsvRow {
  readonly record: readonly string[]
  readonly info: { readonly lines: number }
}

/**
 * Rows of the first sheet of an XLSX file. The format is a compressed archive that has to be read whole,
 * so memory grows with it; very large registers come as CSV.
 * @throws {Refusal} register-unreadable
 */
export async function* xlsxLines(file: Buffer): AsyncGenerator<RegisterLine> {
  const rows = await readSheet(file).catch((cause: unknown) => {
    throw new Refusal('register-unreadable', 'This is not an XLSX workbook.', { cause })
  })
  for (const [place, cells] of rows.entries())
    if (cells.some((cell) => cell !== null)) yield { line: place + 1, cells: cells.map(cellText) }
}

function cellText(cell: unknown): string {
  if (cell instanceof Date) return cell.toISOString().slice(0, 'YYYY-MM-DD'.length)
  return typeof cell === 'string' || typeof cell === 'number' ? String(cell) : ''
}
