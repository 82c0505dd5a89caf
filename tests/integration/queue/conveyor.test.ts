import { Queue } from 'bullmq'
import { Redis } from 'ioredis'
import { sweep } from '../../../src/app/sweep.ts'
import { keyPrefix, urgentQueue } from '../../../src/queue/jobs.ts'
import { openConveyor } from '../../../src/queue/conveyor.ts'
import { startWorkers } from '../../../src/queue/workers.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import { openTestRedis } from '../../support/test-redis.ts'

const service = await runningService()
const { clock, database, deps, deliver, handset, inbox, liveUntil, ask } = service
const lane = { lanes: [handset.name], laneOf: () => handset.name }

const { url, prefix } = openTestRedis()
const redis = new Redis(url, { maxRetriesPerRequest: null })
afterAll(() => redis.quit())

const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined }

/** Empties what a conveyor has in Redis, as a lost Redis would. */
async function emptyRedis(of: string): Promise<void> {
  for await (const keys of redis.scanStream({ match: `${of}*` }) as AsyncIterable<string[]>) {
    if (keys.length > 0) await redis.unlink(...keys)
  }
}

describe('Redis is a conveyor, and Postgres the truth', () => {
  test('emptying it loses nothing: a sweep refills it, and everything is sent once', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const children = await Promise.all(
      ['Asha Temba', 'Juma Hill', 'Zawadi Lake'].map((name) =>
        district.enrol({ name, birthDate: '2026-01-20' }),
      ),
    )
    const phones = children.map((child) => phoneOf(child))
    clock.moveTo('2026-03-09T08:00+03:00')
    const waiting = openConveyor({ redis, prefix: 'forgetful', ...lane, now: clock.now, log: quiet })
    expect((await sweep({ ...deps, conveyor: waiting }, handset)).lanes).toBe(1)
    expect(await waiting.countJobs()).toBeGreaterThan(0)

    await emptyRedis('{forgetful-')
    expect(await waiting.countJobs()).toBe(0)
    await waiting.close()
    await deliver()
    await liveUntil('2026-03-09T08:06+03:00')

    expect(phones.map((phone) => inbox(phone).length)).toEqual([1, 1, 1])
  })

  test('when it does not answer, texts are stored all the same and answered once it does', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const deaf = new Redis({ host: '127.0.0.1', port: 1, lazyConnect: true, retryStrategy: () => null })
    deaf.on('error', () => undefined)
    const conveyor = openConveyor({ redis: deaf, prefix: 'deaf', ...lane, now: clock.now, log: quiet })

    await conveyor.readText('019abe80-0000-7000-8000-000000000000')
    await conveyor.close().catch(() => undefined)
    deaf.disconnect()

    expect(await ask(district.vaccinator, 'HELP')).toMatch(/GAVE/)
  })

  test('carries identifiers only: no name, number or word is in it', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
    clock.moveTo('2026-03-09T08:00+03:00')
    const waiting = openConveyor({ redis, prefix: 'shown', ...lane, now: clock.now, log: quiet })
    await sweep({ ...deps, conveyor: waiting }, handset)
    await waiting.sendText({ id: '019abe80-0000-7000-8000-000000000002', number: phoneOf(child) })
    await waiting.readText('019abe80-0000-7000-8000-000000000003')

    const kept: string[] = []
    for await (const keys of redis.scanStream({ match: '{shown-*' }) as AsyncIterable<string[]>) {
      for (const key of keys) {
        kept.push(key)
        if ((await redis.type(key)) === 'hash') kept.push(JSON.stringify(await redis.hgetall(key)))
      }
    }

    const all = kept.join('\n')
    expect(all).toMatch(/hand-over/)
    expect(all).toMatch(/send-text/)
    expect(all).toMatch(/read-text/)
    expect(all).not.toMatch(/Asha|Temba|7700900/)
    expect(all).not.toContain(child.cardNumber)
    await waiting.close()
    await emptyRedis('{shown-')
    await deliver()
  })
})

describe('an appointment that moves', () => {
  test('leaves exactly one pending reminder of each kind', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const phone = phoneOf(child)
    await ask(phone, 'LATER')
    clock.advance({ minutes: 5 })
    await ask(phone, 'LATER')

    const pending = await database.db.reminder.groupBy({
      by: ['kind'],
      where: { childId: child.id, status: { in: ['planned', 'queued'] } },
      _count: true,
      orderBy: { kind: 'asc' },
    })
    expect(pending).toEqual([
      { kind: 'ahead', _count: 1 },
      { kind: 'eve', _count: 1 },
      { kind: 'missed-1', _count: 1 },
      { kind: 'missed-2', _count: 1 },
    ])
  })
})

describe('a worker', () => {
  const done: string[] = []
  const failures: unknown[] = []
  const note = (what: string) => {
    done.push(what)
    return Promise.resolve()
  }
  let settled = (): void => undefined
  const nextSettled = () =>
    new Promise<void>((resolve) => {
      settled = resolve
    })
  const log = {
    ...quiet,
    error: (message: string, facts?: object) => {
      failures.push({ message, ...facts })
    },
  }

  const workers = startWorkers(
    {
      redis,
      prefix,
      reads: true,
      sends: true,
      lanes: lane.lanes,
      log,
      concurrency: 1,
      onSettled: () => {
        settled()
      },
    },
    {
      readText: (id) => note(`read ${id}`),
      sendText: (id) => note(`send ${id}`),
      handOver: (name) => note(`hand over ${name}`),
      callWebhook: (id) => note(`call ${id}`),
    },
  )
  afterAll(workers.close)

  test('fails a job whose data were lost with a clear reason, at once, and does nothing', async () => {
    const name = urgentQueue(handset.name)
    const queue = new Queue(name, { connection: redis, prefix: keyPrefix(prefix, name) })
    const over = nextSettled()

    await queue.add('send-text', {}, { attempts: 5 })
    await over
    await queue.close()

    expect(done).toEqual([])
    expect(failures).toEqual([
      expect.objectContaining({
        message: 'job failed',
        error: 'the job carries no readable data',
        attempt: 1,
      }),
    ])
  })

  test('does a hint once, however often it was given before', async () => {
    const conveyor = openConveyor({ redis, prefix, ...lane, now: clock.now, log: quiet })
    const id = '019abe80-0000-7000-8000-000000000001'
    const over = nextSettled()

    await Promise.all([conveyor.readText(id), conveyor.readText(id), conveyor.readText(id)])
    await over
    expect(await conveyor.countJobs()).toBe(0)
    await conveyor.close()

    expect(done).toEqual([`read ${id}`])
  })
})
