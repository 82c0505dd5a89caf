import { spawn } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { once } from 'node:events'
import { chmod, mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { Redis } from 'ioredis'
import pg from 'pg'
import { openPostgres, openRedis, type Server } from '../../../src/platform/embedded/servers.ts'
import { type Lifecycle, openLifecycle } from '../../../src/platform/lifecycle.ts'

const scratch = await mkdtemp(join(tmpdir(), 'duebell-servers-'))
// Postgres may run as a user who is not the one that runs the tests.
await chmod(scratch, 0o711)
afterAll(() => rm(scratch, { recursive: true }))

const newFolder = () => join(scratch, randomUUID())
const options = (dataFolder: string) => ({
  url: null,
  dataFolder,
  isThrowaway: true,
  report: () => undefined,
})

interface Both {
  readonly postgres: Server
  readonly redis: Server
  readonly close: () => Promise<void>
}

const lifecycles: Lifecycle[] = []
// What a failed test left open.
afterEach(() => Promise.all(lifecycles.splice(0).map((lifecycle) => lifecycle.stop())))

async function openBoth(dataFolder: string): Promise<Both> {
  const lifecycle = openLifecycle(20_000)
  lifecycles.push(lifecycle)
  const postgres = await openPostgres(options(dataFolder))
  lifecycle.onStop('Postgres', postgres.close)
  const redis = await openRedis(options(dataFolder), postgres.url)
  lifecycle.onStop('Redis', redis.close)
  return { postgres, redis, close: lifecycle.stop }
}

async function query(url: string, sql: string): Promise<unknown[]> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    const { rows } = await client.query<Record<string, unknown>>(sql)
    return rows
  } finally {
    await client.end()
  }
}

async function ask<T>(url: string, question: (redis: Redis) => Promise<T>): Promise<T> {
  const redis = new Redis(url, { lazyConnect: true, retryStrategy: () => null })
  redis.on('error', () => undefined)
  try {
    await redis.connect()
    return await question(redis)
  } finally {
    redis.disconnect()
  }
}

const answers = (work: Promise<unknown>): Promise<boolean> =>
  work.then(
    () => true,
    () => false,
  )

/** Whether each of the two still answers. */
async function running({ postgres, redis }: Both): Promise<{ postgres: boolean; redis: boolean }> {
  return {
    postgres: await answers(query(postgres.url, 'select 1')),
    redis: await answers(ask(redis.url, (client) => client.ping())),
  }
}

/** A process of its own that holds both servers until it is killed. */
async function startHolder(dataFolder: string) {
  const script = `
    import { openPostgres, openRedis } from './src/platform/embedded/servers.ts'
    const options = { url: null, dataFolder: ${JSON.stringify(dataFolder)}, isThrowaway: true, report: () => {} }
    const postgres = await openPostgres(options)
    await openRedis(options, postgres.url)
    console.log(postgres.url)
    setInterval(() => {}, 1000)`
  const holder = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '--eval', script], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  for await (const url of createInterface({ input: holder.stdout })) return { holder, url }
  throw new Error('the holder did not start')
}

describe('embedded servers', () => {
  test('keep what is written over a stop and a start', async () => {
    const folder = newFolder()
    const first = await openBoth(folder)
    await query(first.postgres.url, 'create table kept as select 42 as answer')
    await first.close()

    expect(await running(first)).toEqual({ postgres: false, redis: false })

    const second = await openBoth(folder)
    const rows = await query(second.postgres.url, 'select answer from kept')
    await second.close()

    expect(rows).toEqual([{ answer: 42 }])
  })

  test('are shared on one folder, and stop when the last one leaves', async () => {
    const folder = newFolder()
    const first = await openBoth(folder)
    const second = await openBoth(folder)

    expect([second.postgres.url, second.redis.url]).toEqual([first.postgres.url, first.redis.url])

    await first.close()
    expect(await running(second)).toEqual({ postgres: true, redis: true })

    await second.close()
    expect(await running(second)).toEqual({ postgres: false, redis: false })
  })

  test('come up once when several start and leave at the same time', async () => {
    const folder = newFolder()

    const opened = await Promise.all([1, 2, 3, 4].map(() => openBoth(folder)))
    const urls = new Set(opened.map(({ postgres, redis }) => `${postgres.url} ${redis.url}`))
    await Promise.all(opened.map((both) => both.close()))

    expect(urls.size).toBe(1)
    expect(await Promise.all(opened.map(running))).toEqual(
      opened.map(() => ({ postgres: false, redis: false })),
    )
  })

  test('are taken over from a process that was killed, and stopped after it', async () => {
    const folder = newFolder()
    const { holder, url } = await startHolder(folder)
    holder.kill('SIGKILL')
    await once(holder, 'exit')

    const both = await openBoth(folder)
    await both.close()

    expect(both.postgres.url).toBe(url)
    expect(await running(both)).toEqual({ postgres: false, redis: false })
  })

  test('start although a crash left a process number that now belongs to another program', async () => {
    const folder = newFolder()
    const first = await openBoth(folder)
    const pidFile = join(folder, 'postgres', 'postmaster.pid')
    const stale = await readFile(pidFile, 'utf8')
    await first.close()
    // Its owner is the one who starts Postgres, so Postgres would take this process for a server of its own.
    const { uid, gid } = await stat(join(folder, 'postgres'))
    const bystander = spawn('sleep', ['60'], { uid, gid })
    await writeFile(pidFile, stale.replace(/^\d+/, String(bystander.pid)))

    const second = await openBoth(folder)
    const state = await running(second)
    await second.close()
    bystander.kill()

    expect(state).toEqual({ postgres: true, redis: true })
  })

  test('are closed to whoever does not know the password, and to other machines', async () => {
    const both = await openBoth(newFolder())
    const stranger = (url: string) => url.replace(/:[^:@/]+@/, ':guess@')

    const letsIn = {
      postgres: await answers(query(stranger(both.postgres.url), 'select 1')),
      redis: await answers(ask(stranger(both.redis.url), (client) => client.ping())),
    }
    const listens = await query(both.postgres.url, 'show listen_addresses')
    await both.close()

    expect(letsIn).toEqual({ postgres: false, redis: false })
    expect(listens).toEqual([{ listen_addresses: '127.0.0.1' }])
    expect(both.redis.url).toContain('@127.0.0.1:')
  })

  test('never drop a job to make room', async () => {
    const both = await openBoth(newFolder())
    const policy = await ask(both.redis.url, (client) => client.config('GET', 'maxmemory-policy'))
    await both.close()

    expect(policy).toEqual(['maxmemory-policy', 'noeviction'])
  })
})

test('a server that is given by address is used as it is, and left alone', async () => {
  const given = await openPostgres({ ...options('/nowhere'), url: 'postgresql://given' })
  const givenToo = await openRedis({ ...options('/nowhere'), url: 'redis://given' }, given.url)

  await givenToo.close()
  await given.close()

  expect([given.url, givenToo.url]).toEqual(['postgresql://given', 'redis://given'])
})
