import { z } from 'zod'

/*
 * A backup is a plain script: a first line that says what it is, the rows of each table in PostgreSQL's own COPY text
 * format, the state of the sequences, and a last line that proves the whole. psql reads it too.
 */

export const dumpHeader = z.object({
  format: z.literal(1),
  /** The release that wrote it. */
  release: z.string(),
  takenAt: z.iso.datetime(),
  /** The migrations its tables had. */
  steps: z.array(z.string()),
})
export type DumpHeader = z.infer<typeof dumpHeader>

export const dumpTrailer = z.object({
  rows: z.record(z.string(), z.int()),
  /** SHA-256, in hexadecimal, of everything before this line. */
  sha256: z.string(),
})
export type DumpTrailer = z.infer<typeof dumpTrailer>

const FIRST = '-- duebell backup '
const LAST = '-- end '
export const END_OF_ROWS = '\\.'

const COPY = /^COPY ("[a-z0-9_]+") \(("[a-z0-9_]+"(?:, "[a-z0-9_]+")*)\) FROM stdin;$/
const SETVAL = /^SELECT pg_catalog\.setval\('"([a-z0-9_]+)"', (\d+), (true|false)\);$/

export type DumpLine =
  | { readonly kind: 'header'; readonly header: DumpHeader }
  | { readonly kind: 'copy'; readonly table: string; readonly columns: string }
  | { readonly kind: 'sequence'; readonly name: string; readonly value: string; readonly isCalled: boolean }
  | { readonly kind: 'trailer'; readonly trailer: DumpTrailer }

export const headerLine = (header: DumpHeader): string => `${FIRST}${JSON.stringify(header)}\n`

export const copyLine = (table: string, columns: readonly string[]): string =>
  `COPY "${table}" (${columns.map((column) => `"${column}"`).join(', ')}) FROM stdin;\n`

export const sequenceLine = (name: string, value: string, isCalled: boolean): string =>
  `SELECT pg_catalog.setval('"${name}"', ${value}, ${isCalled});\n`

export const trailerLine = (trailer: DumpTrailer): string => `${LAST}${JSON.stringify(trailer)}\n`

/** Reads a line outside the rows of a table; `undefined` when it is none that belongs there. */
export function readLine(line: string): DumpLine | undefined {
  if (line.startsWith(FIRST)) {
    const header = dumpHeader.safeParse(parse(line.slice(FIRST.length)))
    return header.success ? { kind: 'header', header: header.data } : undefined
  }
  if (line.startsWith(LAST)) {
    const trailer = dumpTrailer.safeParse(parse(line.slice(LAST.length)))
    return trailer.success ? { kind: 'trailer', trailer: trailer.data } : undefined
  }
  const [, table, columns] = COPY.exec(line) ?? []
  if (table !== undefined && columns !== undefined) return { kind: 'copy', table, columns }
  const [, name, value, isCalled] = SETVAL.exec(line) ?? []
  if (name === undefined || value === undefined) return undefined
  return { kind: 'sequence', name, value, isCalled: isCalled === 'true' }
}

function parse(text: string): unknown {
  try {
    const value: unknown = JSON.parse(text)
    return value
  } catch {
    return undefined
  }
}
