import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Config, readConfig } from '../platform/config.ts'
import { readKeyFile, keepKeyFile } from '../platform/key-file.ts'
import { openPostgres, openRedis } from '../platform/embedded/servers.ts'
import { random } from '../platform/ids.ts'
import type { RedisPlace } from '../platform/redis-connection.ts'
import { type Lifecycle, openLifecycle, stopRequested } from '../platform/lifecycle.ts'
import { type Logger, openLogger } from '../platform/logger.ts'
import { type Database, openDatabase } from '../store/database.ts'
import { migrate } from '../store/migrate.ts'
import { enterKeys } from '../store/sealing/keys-in-use.ts'
import { reseal } from '../store/sealing/reseal.ts'
import { openVault, type Vault } from '../store/sealing/vault.ts'

/** What a command that needs the store works with. */
export interface Store extends Database {
  readonly config: Config
  readonly log: Logger
  readonly vault: Vault
  /** The address of the database. */
  readonly url: string
  /** The steps that brought the database to this release's shape just now; usually none. */
  readonly appliedSteps: readonly string[]
  /** Makes sure that Redis is there and returns its address; for the commands that use queues. */
  readonly openRedis: () => Promise<string>
}

/** The same place from src and from dist. */
export const MIGRATIONS = fileURLToPath(new URL('../../prisma/migrations', import.meta.url))

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
  const vault = openVault(await keysOf(config))
  const appliedSteps = await migrate({ url: postgres.url, folder: MIGRATIONS })
  const open = async (url: string): Promise<Database> => {
    const opened = await openDatabase({
      url,
      vault,
      maxConnections: config.databaseConnections,
      statementTimeoutMs: config.statementTimeoutMs,
      random,
      onConnectionLost: (error) => {
        log.warn('a database connection was lost', { error })
      },
    })
    lifecycle.onStop('the database connections', opened.close)
    return opened
  }
  const database = await open(postgres.url)
  await enterKeys(database.pool, vault)
  // Rows from before names were sealed.
  if (appliedSteps.length > 0) await reseal(database.pool, vault)
  const { db: reading } = config.readDatabaseUrl === null ? database : await open(config.readDatabaseUrl)
  return {
    ...database,
    reading,
    vault,
    url: postgres.url,
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

/** The keys of the file the environment names, or of the data folder's own, made where it is missing. */
async function keysOf({ keyFile, dataFolder }: Config): Promise<readonly Buffer[]> {
  if (keyFile !== null) return readKeyFile(keyFile)
  const own = join(dataFolder, 'keys')
  await mkdir(dataFolder, { recursive: true })
  await keepKeyFile(own)
  return readKeyFile(own)
}

/** Where Redis is, started where it was not there. */
export async function placeOfRedis({ openRedis, config }: Store): Promise<RedisPlace> {
  return { url: await openRedis(), isCluster: config.isRedisCluster }
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
