import { fileURLToPath } from 'node:url'
import { type Config, readConfig } from '../platform/config.ts'
import { openPostgres, openRedis } from '../platform/embedded/servers.ts'
import { random } from '../platform/ids.ts'
import { type Lifecycle, openLifecycle, stopRequested } from '../platform/lifecycle.ts'
import { type Logger, openLogger } from '../platform/logger.ts'
import { type Database, openDatabase } from '../store/database.ts'
import { migrate } from '../store/migrate.ts'

/** What a command that needs the store works with. */
export interface Store extends Database {
  readonly config: Config
  readonly log: Logger
  /** The steps that brought the database to this release's shape just now; usually none. */
  readonly appliedSteps: readonly string[]
  /** Makes sure that Redis is there and returns its address; for the commands that use queues. */
  readonly openRedis: () => Promise<string>
}

/** The same place from src and from dist. */
const MIGRATIONS = fileURLToPath(new URL('../../prisma/migrations', import.meta.url))

/** Exit code of a command that was interrupted: 128 and the number of SIGINT (common practice, no source). */
const INTERRUPTED = 130

function report(line: string): void {
  process.stderr.write(`${line}\n`)
}

/** Opens the database the environment names, or the embedded one, at this release's shape. */
export async function openStore(config: Config, lifecycle: Lifecycle): Promise<Store> {
  const log = openLogger(config.logLevel)
  const own = { dataFolder: config.dataFolder, isThrowaway: false, report }
  const postgres = await openPostgres({ ...own, url: config.databaseUrl })
  lifecycle.onStop('Postgres', postgres.close)
  const appliedSteps = await migrate({ url: postgres.url, folder: MIGRATIONS })
  const database = await openDatabase({
    url: postgres.url,
    maxConnections: config.databaseConnections,
    statementTimeoutMs: config.statementTimeoutMs,
    random,
    onConnectionLost: (error) => {
      log.warn('a database connection was lost', { error })
    },
  })
  lifecycle.onStop('the database connections', database.close)
  return {
    ...database,
    config,
    log,
    appliedSteps,
    openRedis: async () => {
      const redis = await openRedis({ ...own, url: config.redisUrl }, postgres.url)
      lifecycle.onStop('Redis', redis.close)
      return redis.url
    },
  }
}

/** Runs a short command on the store and closes everything after it, also when it is interrupted. */
export async function withStore(work: (store: Store) => Promise<void>): Promise<void> {
  const config = readConfig(process.env)
  const lifecycle = openLifecycle(config.stopTimeoutMs)
  const interrupted = stopRequested().then(() => {
    process.exitCode = INTERRUPTED
  })
  try {
    const store = await openStore(config, lifecycle)
    await Promise.race([work(store), interrupted])
  } finally {
    await lifecycle.stop()
  }
}
