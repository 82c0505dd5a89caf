/** From "due in Postgres" to "handed over, and stored so": our hand-over beside a plain design, and beside bare SMPP. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Queue, Worker } from 'bullmq'
import { Redis } from 'ioredis'
import type { Gateway } from '../../src/app/ports.ts'
import { openDeps, silentConveyor } from '../../src/main/open-deps.ts'
import { startService } from '../../src/main/service.ts'
import { smppGateway } from '../../src/gateway/smpp/smpp-gateway.ts'
import { readConfig } from '../../src/platform/config.ts'
import { openRedis } from '../../src/platform/embedded/servers.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import type { Database } from '../../src/store/database.ts'
import { seed } from '../chaos/seed.ts'
import { testVault } from '../support/test-vault.ts'
import type { Measurement } from './measurement.ts'
import { benchConfig, startBenchSmsc, submitBare, WINDOW } from './smpp-vs-raw.ts'

const [TIMES_PLAIN, OF_BARE, OF_PLAIN_BYTES] = [3, 0.25, 1 / 20]
const MORNING = new Date('2026-03-04T08:00:00Z')
const clock = { now: () => MORNING }
const quiet = () => undefined
const log = { debug: quiet, info: quiet, warn: quiet, error: quiet }

interface Bench {
  readonly database: Database & { readonly url: string }
  readonly redisUrl: string
  readonly port: number
  readonly reminders: number
}

/** What one way of sending took. */
interface Sent {
  readonly perSecond: number
  /** Redis memory for each reminder that is planned. */
  readonly bytes: number
}

export async function sendVsPlain(
  database: Database & { readonly url: string },
  reminders: number,
): Promise<readonly Measurement[]> {
  const dataFolder = await mkdtemp(join(tmpdir(), 'duebell-bench-redis-'))
  const redis = await openRedis({ url: null, dataFolder, isThrowaway: true, report: quiet }, database.url)
  const smsc = await startBenchSmsc()
  try {
    const bench = { database, redisUrl: redis.url, port: smsc.port, reminders }
    const plain = await sendPlainly(bench)
    const ours = await sendOurs(bench)
    const begun = performance.now()
    await submitBare(smsc.port, reminders)
    const bare = (reminders * 1000) / (performance.now() - begun)
    const line = { n: reminders, unit: 'reminders/s' }
    const timesPlain = ours.perSecond / plain.perSecond
    const ofBare = ours.perSecond / bare
    const ofBytes = ours.bytes / plain.bytes
    return [
      {
        ...line,
        name: 'send-vs-plain',
        ours: ours.perSecond,
        baseline: plain.perSecond,
        ratio: timesPlain,
        bound: TIMES_PLAIN,
        ok: timesPlain >= TIMES_PLAIN,
      },
      {
        ...line,
        name: 'send-vs-bare',
        ours: ours.perSecond,
        baseline: bare,
        ratio: ofBare,
        bound: OF_BARE,
        ok: ofBare >= OF_BARE,
      },
      {
        n: reminders,
        unit: 'bytes of Redis',
        name: 'redis-bytes-vs-plain',
        ours: ours.bytes,
        baseline: plain.bytes,
        ratio: ofBytes,
        bound: OF_PLAIN_BYTES,
        ok: ofBytes <= OF_PLAIN_BYTES,
      },
    ]
  } finally {
    await smsc.stop()
    await redis.close()
    await rm(dataFolder, { recursive: true, force: true })
  }
}

function openBenchGateway(port: number): Gateway {
  return smppGateway({
    config: benchConfig(port),
    secrets: {},
    clock,
    log,
    random: () => 0,
  })
}

const storeOf = ({ database, redisUrl }: Bench) => ({
  ...database,
  config: readConfig({ QUEUE_PREFIX: 'bench' }),
  vault: testVault,
  log,
  appliedSteps: [],
  openRedis: () => Promise.resolve(redisUrl),
})

async function sendOurs(bench: Bench): Promise<Sent> {
  const store = storeOf(bench)
  await bench.database.pool.query('truncate district, receipt cascade')
  await seed(openDeps(store, clock, silentConveyor), store, bench.reminders)
  // As a database that has been used for more than a minute.
  await bench.database.pool.query('analyze')
  const lifecycle = openLifecycle(20_000)
  const gateway = openBenchGateway(bench.port)
  const before = await usedBytes(bench.redisUrl)
  const planner = { ...store, config: { ...store.config, roles: new Set(['planner'] as const) } }
  const service = await startService({ store: planner, lifecycle, clock, gateway, concurrency: 8 })
  await service.sweep()
  const bytes = Math.max(0, (await usedBytes(bench.redisUrl)) - before) / bench.reminders
  await lifecycle.stop()

  const working = openLifecycle(20_000)
  const begun = performance.now()
  const worker = await startService({
    store,
    lifecycle: working,
    clock,
    gateway: openBenchGateway(bench.port),
    concurrency: 8,
  })
  for (;;) {
    const { lanes } = await worker.sweep()
    await worker.whenIdle()
    if (lanes === 0) break
  }
  const seconds = (performance.now() - begun) / 1000
  await working.stop()
  const handed = await bench.database.db.reminder.count({ where: { status: 'handed' } })
  if (handed < bench.reminders) throw new Error(`${handed} of ${bench.reminders} were handed over`)
  return { perSecond: bench.reminders / seconds, bytes }
}

/** One delayed job for each reminder, which carries its text; one update for each that was sent. */
async function sendPlainly(bench: Bench): Promise<Sent> {
  const { database, redisUrl, port, reminders } = bench
  const store = storeOf(bench)
  await seed(openDeps(store, clock, silentConveyor), store, reminders)
  const { rows } = await database.pool.query<{ id: string }>(
    `select r.id::text from reminder r join child c on c.id = r.child_id where r.kind = 'eve' and c.enrolled_by = 'a copy' limit $1`,
    [reminders],
  )
  const redis = new Redis(redisUrl, { maxRetriesPerRequest: null })
  const before = await usedBytes(redisUrl)
  const queue = new Queue('plain', { connection: redis, prefix: '{plain}' })
  const body =
    'Ford: we expect C000000 on Thu 5 Mar at Ford for vaccines. Please bring the card. To stop: STOP'
  await queue.addBulk(
    rows.map(({ id }) => ({
      name: 'remind',
      data: { id, to: '+447700900123', body },
      opts: { delay: 1, jobId: `remind-${id}`, removeOnComplete: true },
    })),
  )
  const bytes = ((await usedBytes(redisUrl)) - before) / reminders
  const gateway = openBenchGateway(port)
  await gateway.open({
    onText: () => Promise.resolve(),
    onReceipt: () => Promise.resolve(),
    onScreen: () => Promise.resolve({ text: '', ends: true }),
  })
  let left = reminders
  let finish = (): void => undefined
  const finished = new Promise<void>((resolve) => {
    finish = resolve
  })
  const begun = performance.now()
  const worker = new Worker<{ id: string; to: string; body: string }>(
    'plain',
    async ({ data }) => {
      const answer = await gateway.submit({ ...data, validUntil: null, urgent: false })
      if (answer.kind !== 'accepted') throw new Error(answer.kind)
      await database.pool.query(`update reminder set status = 'handed', updated_at = now() where id = $1`, [
        data.id,
      ])
      left -= 1
      if (left === 0) finish()
    },
    { connection: redis, prefix: '{plain}', concurrency: WINDOW },
  )
  await finished
  const seconds = (performance.now() - begun) / 1000
  await worker.close()
  await queue.close()
  await gateway.close()
  await redis.quit()
  return { perSecond: reminders / seconds, bytes }
}

async function usedBytes(url: string): Promise<number> {
  const redis = new Redis(url)
  const [, bytes] = /used_memory:(\d+)/.exec(await redis.info('memory')) ?? []
  redis.disconnect()
  return Number(bytes)
}
