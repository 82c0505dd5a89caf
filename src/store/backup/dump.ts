import { createHash } from 'node:crypto'
import pg from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import { listSequences, listSteps, listTables } from './contents.ts'
import type { DumpTable } from './contents.ts'
import { copyLine, END_OF_ROWS, headerLine, sequenceLine, trailerLine } from './format.ts'

export interface DumpOptions {
  readonly url: string
  readonly release: string
  readonly takenAt: Date
  /** Told how many rows each table had, when it has been read. */
  readonly onTable: (table: string, rows: number) => void
}

/** Values are written alike whatever the server's settings are. */
const SETTINGS = `
  set statement_timeout = 0; set timezone = 'UTC'; set datestyle = 'ISO, YMD'; set intervalstyle = 'postgres';
  set extra_float_digits = 3; set bytea_output = 'hex'; set client_encoding = 'UTF8'`

/**
 * The whole database as a script, read in one snapshot while everyone goes on working: what is in it is what stood in
 * the database at one moment.
 */
export async function* dumpDatabase(options: DumpOptions): AsyncGenerator<Buffer> {
  const client = new pg.Client({ connectionString: options.url, application_name: 'duebell backup' })
  await client.connect()
  try {
    await client.query(SETTINGS)
    await client.query('begin isolation level repeatable read read only')
    const digest = createHash('sha256')
    const rows: Record<string, number> = {}
    const onTable = (table: string, count: number): void => {
      rows[table] = count
      options.onTable(table, count)
    }
    for await (const part of script(client, { ...options, onTable })) {
      digest.update(part)
      yield part
    }
    await client.query('commit')
    yield Buffer.from(trailerLine({ rows, sha256: digest.digest('hex') }))
  } finally {
    await client.end()
  }
}

async function* script(
  client: pg.Client,
  { release, takenAt, onTable }: DumpOptions,
): AsyncGenerator<Buffer> {
  const steps = await listSteps(client)
  yield Buffer.from(headerLine({ format: 1, release, takenAt: takenAt.toISOString(), steps }))
  for (const table of await listTables(client)) yield* rowsOf(client, table, onTable)
  for (const name of await listSequences(client)) {
    const { rows } = await client.query<{ value: string; isCalled: boolean }>(
      `select last_value::text as value, is_called as "isCalled" from "${name}"`,
    )
    for (const { value, isCalled } of rows) yield Buffer.from(sequenceLine(name, value, isCalled))
  }
}

async function* rowsOf(
  client: pg.Client,
  { name, columns }: DumpTable,
  onTable: DumpOptions['onTable'],
): AsyncGenerator<Buffer> {
  yield Buffer.from(copyLine(name, columns))
  const list = columns.map((column) => `"${column}"`).join(', ')
  // A query rather than the table: that also reads a table that is kept in parts.
  const stream = client.query(copyTo(`copy (select ${list} from "${name}") to stdout`))
  for await (const chunk of stream as AsyncIterable<Buffer>) yield chunk
  yield Buffer.from(`${END_OF_ROWS}\n`)
  onTable(name, stream.rowCount)
}
