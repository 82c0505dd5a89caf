import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { type Database, openDatabase } from '../../src/store/database.ts'
import { testServers } from './test-servers.ts'
import { testVault } from './test-vault.ts'

export interface TestDatabase extends Database {
  readonly url: string
}

/** Runs one statement on the server, outside the test's own database. */
async function onServer(sql: string): Promise<void> {
  const client = new pg.Client({ connectionString: testServers().serverUrl })
  await client.connect()
  try {
    await client.query(sql)
  } finally {
    await client.end()
  }
}

/**
 * Gives a function that makes a database from a template and returns its address. All are dropped after the
 * last test of the file; with KEEP_TEST_DATABASES set they stay, and their addresses are printed.
 */
function databasesFrom(template: string): () => Promise<string> {
  const made: URL[] = []
  afterAll(async () => {
    for (const url of made) {
      if (process.env['KEEP_TEST_DATABASES'] === undefined) {
        await onServer(`drop database "${databaseOf(url)}" with (force)`)
      } else process.stderr.write(`kept ${url.href}\n`)
    }
  })
  return async () => {
    const url = new URL(testServers().serverUrl)
    url.pathname = `duebell_test_${randomUUID()}`
    await onServer(`create database "${databaseOf(url)}" template "${template}"`)
    made.push(url)
    return url.href
  }
}

const databaseOf = (url: URL): string => url.pathname.slice(1)

/**
 * Gives a function that makes databases without any tables.
 * @example const makeDatabase = emptyDatabases()
 */
export function emptyDatabases(): () => Promise<string> {
  return databasesFrom('template0')
}

/** Opens a database the way the service does; the test closes it. */
export function openTestPool(url: string, statementTimeoutMs = 20_000): Promise<Database> {
  return openDatabase({
    vault: testVault,
    url,
    maxConnections: 10,
    statementTimeoutMs,
    random: () => 0.5,
    onConnectionLost: () => undefined,
  })
}

/**
 * Gives a test file a migrated database of its own, without rows.
 * @example const { db, transaction } = await openTestDatabase()
 */
export async function openTestDatabase(): Promise<TestDatabase> {
  const template = databaseOf(new URL(testServers().templateUrl))
  const opened: Database[] = []
  // Defined first, so that it also runs before the database is dropped.
  afterAll(() => Promise.all(opened.map((database) => database.close())))
  const url = await databasesFrom(template)()
  const database = await openTestPool(url)
  opened.push(database)
  return { ...database, url }
}
