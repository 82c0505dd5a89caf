import { once } from 'node:events'
import { chmod, mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { succeeds } from '../../src/platform/embedded/commands.ts'
import { openPostgres, openRedis, type Server } from '../../src/platform/embedded/servers.ts'
import { type Lifecycle, openLifecycle } from '../../src/platform/lifecycle.ts'
import { migrate } from '../../src/store/migrate.ts'
import type { TestServers } from './test-servers.ts'

/*
 * Holds the servers of a test run until standard input ends: those named by the environment, else containers
 * where a Docker engine answers, else embedded ones. Prints their addresses as one line of JSON.
 */
const STOP_TIMEOUT_MS = 30_000

const report = (line: string): void => {
  process.stderr.write(`${line}\n`)
}

async function postgresContainer(): Promise<Server> {
  const { GenericContainer, Wait } = await import('testcontainers')
  const container = await new GenericContainer('postgres:17-alpine')
    .withEnvironment({ POSTGRES_USER: 'duebell', POSTGRES_PASSWORD: 'duebell' })
    .withTmpFs({ '/var/lib/postgresql/data': 'rw' })
    .withCommand(['postgres', '-c', 'fsync=off', '-c', 'max_connections=200'])
    .withExposedPorts(5432)
    // It starts twice: once to make the database, once to serve.
    .withWaitStrategy(Wait.forLogMessage('database system is ready to accept connections', 2))
    .start()
  const url = `postgresql://duebell:duebell@${container.getHost()}:${container.getMappedPort(5432)}/duebell`
  return {
    url,
    close: async () => {
      await container.stop()
    },
  }
}

async function redisContainer(): Promise<Server> {
  const { GenericContainer } = await import('testcontainers')
  const container = await new GenericContainer('redis:7-alpine')
    .withCommand(['redis-server', '--save', '', '--maxmemory-policy', 'noeviction'])
    .withExposedPorts(6379)
    .start()
  const url = `redis://${container.getHost()}:${container.getMappedPort(6379)}`
  return {
    url,
    close: async () => {
      await container.stop()
    },
  }
}

/** Opens both servers; what has to be undone goes to `lifecycle`. */
async function openServers(lifecycle: Lifecycle): Promise<{ databaseUrl: string; redisUrl: string }> {
  const { TEST_DATABASE_URL, DATABASE_URL, TEST_REDIS_URL, REDIS_URL } = process.env
  const databaseUrl = TEST_DATABASE_URL ?? DATABASE_URL ?? null
  const redisUrl = TEST_REDIS_URL ?? REDIS_URL ?? null
  const hasEngine = await succeeds('docker', ['info'])
  const dataFolder = await mkdtemp(join(tmpdir(), 'duebell-test-'))
  // Postgres may run as a user who is not the one that runs the tests.
  await chmod(dataFolder, 0o711)
  lifecycle.onStop('the data folder', () => rm(dataFolder, { recursive: true }))
  const own = { dataFolder, isThrowaway: true, report }

  const postgres =
    databaseUrl === null && hasEngine
      ? await postgresContainer()
      : await openPostgres({ ...own, url: databaseUrl })
  lifecycle.onStop('Postgres', postgres.close)
  const redis =
    redisUrl === null && hasEngine
      ? await redisContainer()
      : await openRedis({ ...own, url: redisUrl }, postgres.url)
  lifecycle.onStop('Redis', redis.close)
  return { databaseUrl: postgres.url, redisUrl: redis.url }
}

/** Makes the database that every test file gets a copy of. */
async function makeTemplate(serverUrl: string, lifecycle: Lifecycle): Promise<string> {
  const name = `duebell_test_${process.pid}`
  const admin = new pg.Client({ connectionString: serverUrl })
  await admin.connect()
  lifecycle.onStop('the administrator session', () => admin.end())
  await admin.query(`create database ${name}`)
  lifecycle.onStop('the template database', async () => {
    await admin.query(`drop database ${name} with (force)`)
  })
  const url = new URL(serverUrl)
  url.pathname = name
  await migrate({ url: url.href, folder: 'prisma/migrations' })
  return url.href
}

const lifecycle = openLifecycle(STOP_TIMEOUT_MS)
try {
  const { databaseUrl, redisUrl } = await openServers(lifecycle)
  const templateUrl = await makeTemplate(databaseUrl, lifecycle)
  const addresses: TestServers = { serverUrl: databaseUrl, templateUrl, redisUrl }
  process.stdout.write(`${JSON.stringify(addresses)}\n`)
  process.stdin.resume()
  await once(process.stdin, 'end')
} finally {
  await lifecycle.stop()
}
