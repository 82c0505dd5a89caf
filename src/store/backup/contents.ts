import type pg from 'pg'

/** A table and the columns of it that hold data of their own. */
export interface DumpTable {
  readonly name: string
  readonly columns: readonly string[]
}

/** Kept apart: it says which shape the database has, and is made anew by the migrations. */
const LEDGER = 'migration'

const TABLES = `
  select c.relname as name, array_agg(a.attname::text order by a.attnum) as columns
  from pg_class c
  join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = ''
  where c.relnamespace = 'public'::regnamespace
    and c.relkind in ('r', 'p') and not c.relispartition and c.relname <> $1
  group by c.relname
  order by c.relname`

const REFERENCES = `
  select distinct f.conrelid::regclass::text as child, f.confrelid::regclass::text as parent
  from pg_constraint f
  where f.contype = 'f' and f.connamespace = 'public'::regnamespace and f.conrelid <> f.confrelid`

const SEQUENCES = `select relname as name from pg_class
  where relkind = 'S' and relnamespace = 'public'::regnamespace order by relname`

/** Every table, each after those it refers to, so that it can be filled in this order. */
export async function listTables(client: pg.Client): Promise<DumpTable[]> {
  const { rows: tables } = await client.query<DumpTable>(TABLES, [LEDGER])
  const { rows: references } = await client.query<{ child: string; parent: string }>(REFERENCES)
  const ordered: DumpTable[] = []
  let left = tables
  while (left.length > 0) {
    const names = new Set(left.map(({ name }) => name))
    const waits = (name: string) =>
      references.some(({ child, parent }) => child === name && names.has(parent))
    const ready = left.filter(({ name }) => !waits(name))
    if (ready.length === 0)
      throw new Error(`these tables refer to each other in a circle: ${[...names].join()}`)
    ordered.push(...ready)
    left = left.filter((table) => !ready.includes(table))
  }
  return ordered
}

export async function listSequences(client: pg.Client): Promise<string[]> {
  return (await client.query<{ name: string }>(SEQUENCES)).rows.map(({ name }) => name)
}

/** The steps the database has, oldest first; none where it was never migrated. */
export async function listSteps(client: pg.Client): Promise<string[]> {
  const { rows: found } = await client.query<{ there: string | null }>(
    `select to_regclass('public.${LEDGER}')::text as there`,
  )
  if (found[0]?.there == null) return []
  const { rows } = await client.query<{ name: string }>(`select name from ${LEDGER} order by name`)
  return rows.map(({ name }) => name)
}
