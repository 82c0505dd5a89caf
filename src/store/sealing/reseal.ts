import type pg from 'pg'
import { type SealedColumn, sealedColumns } from './sealed-fields.ts'
import type { Vault } from './vault.ts'

const BATCH = 500
const START = '(0,0)'

/**
 * Seals again, under the first key of the ring, every value that is sealed under another one or not at all; answers how
 * many rows changed. Each batch is a transaction of its own: stopped halfway, it goes on where it was when called again.
 * The service may run meanwhile, with the same ring. At the end the database needs the first key alone.
 */
export async function reseal(
  pool: pg.Pool,
  vault: Vault,
  onBatch: (table: string, rows: number) => void = () => undefined,
): Promise<number> {
  const client = await pool.connect()
  try {
    let changed = 0
    for (const { table, columns } of sealedColumns) {
      let after: string | null = START
      while (after !== null) {
        const batch = await resealBatch(client, vault, { table, columns, after })
        changed += batch.rows
        onBatch(table, batch.rows)
        after = batch.last
      }
    }
    await client.query('delete from sealing_key where id <> $1', [vault.keyIds[0]])
    return changed
  } finally {
    client.release()
  }
}

interface Part {
  readonly table: string
  readonly columns: readonly SealedColumn[]
  /** Where in the table the last batch ended. */
  readonly after: string
}

interface Batch {
  readonly rows: number
  /** Where it ended; null at the end of the table. */
  readonly last: string | null
}

async function resealBatch(client: pg.PoolClient, vault: Vault, part: Part): Promise<Batch> {
  await client.query('begin')
  try {
    const { rows } = await client.query<Record<string, string | null>>(findSql(part), [
      part.after,
      `sealed:_:${vault.keyIds[0]}:%`,
    ])
    const sealed = rows.map((row) => sealRow(vault, part.columns, row))
    if (rows.length > 0)
      await client.query(writeSql(part), [JSON.stringify(sealed), rows.map((row) => row['place'])])
    await client.query('commit')
    return { rows: rows.length, last: rows.length < BATCH ? null : (rows.at(-1)?.['place'] ?? null) }
  } catch (error) {
    await client.query('rollback')
    throw error
  }
}

/** Rows go to the end of the table when they change, so each is met once. */
function findSql({ table, columns }: Part): string {
  const found = columns.map(({ name, text }) => `${text} as ${name}`)
  const isOld = columns.map(({ text }) => `${text} not like $2`)
  return `select ctid::text as place, ${found.join(', ')} from ${table}
    where ctid > $1::tid and (${isOld.join(' or ')})
    order by ctid limit ${BATCH} for update`
}

function writeSql({ table, columns }: Part): string {
  const set = columns.map(
    ({ name, kind }) => `${name} = ${kind === 'json' ? `to_jsonb(s.${name})` : `s.${name}`}`,
  )
  const shape = columns.map(({ name }) => `${name} text`)
  return `update ${table} t set ${set.join(', ')}
    from jsonb_to_recordset($1::jsonb) as s(place text, ${shape.join(', ')})
    where t.ctid = any($2::tid[]) and t.ctid = s.place::tid`
}

function sealRow(vault: Vault, columns: readonly SealedColumn[], row: Record<string, string | null>) {
  const sealed = columns.map(({ name, kind }): [string, string | null] => {
    const value = row[name] ?? null
    return [name, value === null ? null : vault.sealAgain(kind, value)]
  })
  return { place: row['place'], ...Object.fromEntries(sealed) }
}
