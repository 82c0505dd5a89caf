import pg from 'pg'
import { migrate } from '../migrate.ts'
import { listSteps } from './contents.ts'
import { BackupError, loadDump, proveDump } from './load.ts'
import type { ProvenDump } from './load.ts'

export interface RestoreOptions {
  readonly url: string
  /** Folder of the migrations. */
  readonly folder: string
  /** Reads the backup from its beginning, each time it is called. */
  readonly open: () => AsyncIterable<Buffer>
  /** True: what the database holds now is lost. False: only an empty one is filled. */
  readonly isReplacing: boolean
}

const OTHERS = `
  select count(*)::int as others from pg_stat_activity
  where datname = current_database() and pid <> pg_backend_pid() and application_name like 'duebell%'
    and application_name <> 'duebell presence'`

/**
 * Fills a database from a backup, also one of an older release: its tables are made as they were, filled, and then
 * brought to this release's shape. The backup is proven before anything is touched.
 * @throws {BackupError} @throws {MigrationError} when the backup is of a newer release
 */
export async function restoreDatabase({
  url,
  folder,
  open,
  isReplacing,
}: RestoreOptions): Promise<ProvenDump> {
  const proven = await proveDump(open())
  const client = new pg.Client({ connectionString: url, application_name: 'duebell restore' })
  await client.connect()
  try {
    await client.query('set statement_timeout = 0')
    await refuseWhileRunning(client)
    if ((await listSteps(client)).length > 0) await emptyDatabase(client, isReplacing)
    await migrate({ url, folder, only: proven.header.steps })
    await client.query('begin')
    const rows = await loadDump(client, open())
    proveCounts(rows, proven.rows)
    await client.query('commit')
  } finally {
    await client.end()
  }
  await migrate({ url, folder })
  return proven
}

async function refuseWhileRunning(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ others: number }>(OTHERS)
  if ((rows[0]?.others ?? 0) === 0) return
  throw new BackupError(
    'The service is running on this database; stop it (every api and worker) and try again.',
  )
}

async function emptyDatabase(client: pg.Client, isReplacing: boolean): Promise<void> {
  if (!isReplacing) {
    throw new BackupError(
      'This database is not empty. Take a backup of it, then add --replace to lose what it holds now.',
    )
  }
  await client.query('drop schema public cascade; create schema public')
}

function proveCounts(
  loaded: Readonly<Record<string, number>>,
  wanted: Readonly<Record<string, number>>,
): void {
  const wrong = Object.keys(wanted).filter((table) => loaded[table] !== wanted[table])
  if (wrong.length > 0) throw new BackupError(`Rows are missing in ${wrong.join(', ')}; nothing was kept.`)
}
