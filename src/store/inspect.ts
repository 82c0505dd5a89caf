import pg from 'pg'
import { listSteps } from './backup/contents.ts'
import { namesOfSteps } from './migrate.ts'

/** What an operator asks of a database. */
export interface Inspection {
  readonly version: string
  /** The server's clock. */
  readonly now: Date
  /** Steps of this release that it lacks. */
  readonly pending: readonly string[]
  /** Steps that this release does not know. */
  readonly foreign: readonly string[]
  readonly megabytes: number
  readonly connections: number
  readonly mostConnections: number
  /** When the newest finished backup began; null where none is on record. */
  readonly backedUpAt: Date | null
  readonly timeZones: readonly string[]
  /** Processes of the service seen within two minutes. */
  readonly processes: readonly { readonly roles: string; readonly release: string }[]
  /** Texts that wait although their hour is past, and since when the oldest does. */
  readonly waiting: { readonly texts: number; readonly since: Date | null }
}

const FACTS = `
  select current_setting('server_version') as version, clock_timestamp() as now,
    (pg_database_size(current_database()) / 1048576)::int as megabytes,
    (select count(*)::int from pg_stat_activity) as connections,
    current_setting('max_connections')::int as "mostConnections"`

const BACKUP = `select started_at as at from batch_run
  where kind = 'backup' and ended_at is not null and trouble is null
  order by started_at desc limit 1`
const ZONES = `select distinct time_zone as zone from district order by 1`
const WAITING = `select count(*)::int as texts, min(send_at) as since from text_out
  where status = 'waiting' and send_at < now() - interval '5 minutes'`

const PROCESSES = `select roles, release from service_process
  where seen_at > now() - interval '2 minutes' order by roles, release`

type Facts = Pick<Inspection, 'version' | 'now' | 'megabytes' | 'connections' | 'mostConnections'>

/** Looks at a database without changing it. */
export async function inspectDatabase(url: string, folder: string): Promise<Inspection> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 5000 })
  await client.connect()
  try {
    await client.query('set statement_timeout = 5000')
    const { rows } = await client.query<Facts>(FACTS)
    const [facts] = rows
    if (facts === undefined) throw new Error('the database says nothing of itself')
    const applied = await listSteps(client)
    const known = await namesOfSteps(folder)
    const pending = known.filter((step) => !applied.includes(step))
    const foreign = applied.filter((step) => !known.includes(step))
    return { ...facts, pending, foreign, ...(await ownFacts(client, pending.length === 0)) }
  } finally {
    await client.end()
  }
}

/** What stands in tables, where they have their shape. */
async function ownFacts(
  client: pg.Client,
  isShaped: boolean,
): Promise<Pick<Inspection, 'backedUpAt' | 'timeZones' | 'waiting' | 'processes'>> {
  if (!isShaped) return { backedUpAt: null, timeZones: [], processes: [], waiting: { texts: 0, since: null } }
  const backup = await client.query<{ at: Date }>(BACKUP)
  const zones = await client.query<{ zone: string }>(ZONES)
  const { rows: processes } = await client.query<Inspection['processes'][number]>(PROCESSES)
  const waiting = await client.query<{ texts: number; since: Date | null }>(WAITING)
  return {
    backedUpAt: backup.rows[0]?.at ?? null,
    processes,
    timeZones: zones.rows.map(({ zone }) => zone),
    waiting: waiting.rows[0] ?? { texts: 0, since: null },
  }
}
