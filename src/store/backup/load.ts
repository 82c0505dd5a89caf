import { createHash } from 'node:crypto'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type pg from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { END_OF_ROWS, readLine } from './format.ts'
import type { DumpHeader, DumpLine, DumpTrailer } from './format.ts'
import { linesOf } from './lines.ts'

/** The backup cannot be used; the message says why and what to do. */
export class BackupError extends Error {
  override readonly name = 'BackupError'
}

export interface ProvenDump extends DumpTrailer {
  readonly header: DumpHeader
}

const WRONG_FILE = 'This is no backup of Duebell; name a file that `duebell backup` wrote.'
const TORN = 'The backup breaks off before its end; take another one.'
const CHANGED = 'The backup is not as it was written (its digest differs); take another one.'

/** Reads a backup through, changing nothing, and proves that it is whole. @throws {BackupError} */
export async function proveDump(source: AsyncIterable<Buffer>): Promise<ProvenDump> {
  const digest = createHash('sha256')
  let header: DumpHeader | undefined
  let trailer: DumpTrailer | undefined
  for await (const { line, rows } of sectionsOf(source, (raw) => digest.update(raw))) {
    if (line.kind === 'header') header = line.header
    if (line.kind === 'trailer') trailer = line.trailer
    await readThrough(rows)
  }
  if (header === undefined) throw new BackupError(WRONG_FILE)
  if (trailer === undefined) throw new BackupError(TORN)
  if (digest.digest('hex') !== trailer.sha256) throw new BackupError(CHANGED)
  return { header, ...trailer }
}

/** Reading them is what counts: each passes through the digest. */
async function readThrough(rows: AsyncIterable<Buffer>): Promise<void> {
  const iterator = rows[Symbol.asyncIterator]()
  while ((await iterator.next()).done !== true);
}

/**
 * Fills the empty tables of a database from a backup, in a transaction that the caller ends.
 * @returns how many rows each table got
 */
export async function loadDump(
  client: pg.Client,
  source: AsyncIterable<Buffer>,
): Promise<Record<string, number>> {
  const counts: Record<string, number> = {}
  for await (const { line, rows } of sectionsOf(source)) {
    if (line.kind === 'sequence')
      await client.query('select setval($1, $2, $3)', [`"${line.name}"`, line.value, line.isCalled])
    if (line.kind !== 'copy') continue
    // Rows come back as they were: what triggers would add or refuse was added or refused long ago.
    await client.query(`alter table ${line.table} disable trigger user`)
    const table = client.query(copyFrom(`copy ${line.table} (${line.columns}) from stdin`))
    await pipeline(Readable.from(rows), table)
    await client.query(`alter table ${line.table} enable trigger user`)
    counts[line.table.slice(1, -1)] = table.rowCount
  }
  return counts
}

interface Section {
  readonly line: DumpLine
  /** The rows of a table, each with its line end; to be read before the next section. */
  readonly rows: AsyncIterable<Buffer>
}

async function* sectionsOf(
  source: AsyncIterable<Buffer>,
  onRaw: (raw: Buffer) => void = () => undefined,
): AsyncGenerator<Section> {
  const lines = linesOf(source)
  let isFirst = true
  for (let next = await lines.next(); next.done !== true; next = await lines.next()) {
    const line = readLine(next.value.toString())
    if (line === undefined) throw new BackupError(isFirst ? WRONG_FILE : TORN)
    isFirst = false
    if (line.kind !== 'trailer') onRaw(ended(next.value))
    yield { line, rows: line.kind === 'copy' ? rowsOf(lines, onRaw) : none() }
  }
}

async function* rowsOf(lines: AsyncIterator<Buffer>, onRaw: (raw: Buffer) => void): AsyncGenerator<Buffer> {
  const end = Buffer.from(END_OF_ROWS)
  for (let next = await lines.next(); next.done !== true; next = await lines.next()) {
    const row = ended(next.value)
    onRaw(row)
    if (next.value.equals(end)) return
    yield row
  }
  throw new BackupError(TORN)
}

async function* none(): AsyncGenerator<Buffer> {
  // Sections without rows.
}

const LINE_END = Buffer.from('\n')
const ended = (line: Buffer): Buffer => Buffer.concat([line, LINE_END])
