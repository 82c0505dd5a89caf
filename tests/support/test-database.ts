import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { type Database, openDatabase } from '../../src/store/database.ts'
import { testServers } from './test-servers.ts'

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
 * Gives a test file an empty, migrated database of its own and drops it after the last test;
 * with KEEP_TEST_DATABASES set it stays, and its address is printed.
 * @example const { db, transaction } = await openTestDatabase()
 */
export async function openTestDatabase(): Promise<TestDatabase> {
  const { url, name } = await copyTemplate()
  const database = await openDatabase({
    url,
    maxConnections: 10,
    statementTimeoutMs: 20_000,
    random: () => 0.5,
    onConnectionLost: () => undefined,
  })
  afterAll(async () => {
    await database.close()
    if (process.env['KEEP_TEST_DATABASES'] === undefined)
      await onServer(`drop database "${name}" with (force)`)
    else process.stderr.write(`kept ${url}\n`)
  })
  return { ...database, url }
}

/** Makes a copy of the migrated template; the caller drops it. */
async function copyTemplate(): Promise<{ readonly url: string; readonly name: string }> {
  const url = new URL(testServers().templateUrl)
  const template = url.pathname.slice(1)
  const name = `${template}_${randomUUID()}`
  await onServer(`create database "${name}" template "${template}"`)
  url.pathname = name
  return { url: url.href, name }
}
