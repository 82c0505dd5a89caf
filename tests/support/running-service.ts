import type { Router } from 'express'
import { pagesRouter } from '../../src/http/pages/pages-router.ts'
import { phoneRouter } from '../../src/http/pages/phone.ts'
import { buildServer } from '../../src/http/server.ts'
import { makeToken } from '../../src/app/tokens.ts'
import type { TokenRole } from '../../src/app/tokens.ts'
import type { CallbackReceiver, Gateway } from '../../src/app/ports.ts'
import type { HandsetGateway } from '../../src/gateway/handset/handset-gateway.ts'
import type { DeliveredText } from '../../src/gateway/handset/phones.ts'
import { listen } from '../../src/main/listen.ts'
import { openHandset } from '../../src/main/open-gateway.ts'
import { openPhoneBench } from '../../src/main/phone-bench.ts'
import { USSD_CODE } from '../../src/main/serve.ts'
import { startService } from '../../src/main/service.ts'
import type { Service } from '../../src/main/service.ts'
import type { RedisPlace } from '../../src/platform/redis-connection.ts'
import { phonesOfService } from '../../src/main/try-out-phones.ts'
import type { Store } from '../../src/main/with-store.ts'
import { readConfig } from '../../src/platform/config.ts'
import { newCode, newSecret } from '../../src/platform/ids.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import { openLogger } from '../../src/platform/logger.ts'
import type { Logger } from '../../src/platform/logger.ts'
import { apiClient } from './api-client.ts'
import type { ApiClient } from './api-client.ts'
import { fixedClock } from './fixed-clock.ts'
import type { FixedClock } from './fixed-clock.ts'
import { openTestDatabase } from './test-database.ts'
import type { TestDatabase } from './test-database.ts'
import { openTestRedis } from './test-redis.ts'
import { testVault } from './test-vault.ts'

/** The whole service on real Postgres and Redis, with a clock that the test moves. */
export interface RunningService extends Service {
  readonly clock: FixedClock
  readonly database: TestDatabase
  /** Start of its keys in Redis, within the braces. */
  readonly queuePrefix: string
  /** Where the API, the callbacks and the pages are served. */
  readonly address: string
  readonly call: ApiClient
  /** A token for the API; without a district it enters every one. */
  readonly tokenFor: (role: TokenRole, districtId?: string) => Promise<string>
  /** Empties the register, so that what other tests left is not lived through again. */
  readonly empty: () => Promise<void>
  /** Sends all that is due by now and waits until its answers and receipts are stored. */
  readonly deliver: () => Promise<void>
  /** Moves the clock, closes the visits whose day has passed, and delivers. */
  readonly liveUntil: (instant: string) => Promise<void>
  /** The same, stopping at each moment on the way at which something is due. */
  readonly liveThrough: (instant: string) => Promise<void>
}

/** A service whose phones are in this process. */
export interface HandsetService extends RunningService {
  readonly handset: HandsetGateway
  /** What reached a phone, oldest first, without the greeting that a new number gets. */
  readonly arrivals: (number: string) => readonly DeliveredText[]
  /** The words of it. */
  readonly inbox: (number: string) => readonly string[]
  /** Sends a text from a phone and gives its one reply; no reply or two is a fault. */
  readonly ask: (from: string, body: string) => Promise<string>
}

/** How the outside of a service is made; the test's own far side may need the clock. */
export interface Outside {
  readonly gateway: Gateway
  readonly receivers?: ReadonlyMap<string, CallbackReceiver>
  /** Resolves when the far side has said all it has to say. */
  readonly settled?: () => Promise<void>
  /** Another Redis than the one that all test files share. */
  readonly redis?: RedisPlace
  /** Where the service logs. */
  readonly log?: Logger
  /** Pages beside those of the district. */
  readonly morePages?: (service: Service) => readonly Router[]
}

const STOP_TIMEOUT_MS = 20_000
/** More rounds than any test needs: whoever sends for ever is found out. */
const ROUNDS = 50

/** Silent unless LOG_LEVEL says otherwise. */
const usualLog = openLogger(readConfig({ LOG_LEVEL: process.env['LOG_LEVEL'] ?? 'silent' }).logLevel)

/** Whether a text is the first one to a new number; it has its own tests. */
export function isGreeting(body: string): boolean {
  return body.startsWith('Hello from ')
}

/** Starts a service with handset phones for a test file; it stops after the last test. */
export async function runningService(
  now = '2026-03-02T09:00+03:00',
  redis?: RedisPlace,
): Promise<HandsetService> {
  const clock = fixedClock(now)
  const handset = openHandset(clock, usualLog)
  const service = await runningServiceWith(clock, {
    gateway: handset,
    ...(redis === undefined ? {} : { redis }),
    settled: handset.settled,
    morePages: ({ deps, whenIdle }) => [
      phoneRouter(
        openPhoneBench({ handset, clock, phones: () => phonesOfService(deps), whenIdle, code: USSD_CODE }),
      ),
    ],
  })
  const arrivals = (number: string) => handset.inbox(number).filter(({ body }) => !isGreeting(body))
  const inbox = (number: string) => arrivals(number).map(({ body }) => body)
  return {
    ...service,
    handset,
    arrivals,
    inbox,
    ask: async (from, body) => {
      const before = inbox(from).length
      await handset.text(from, body)
      await service.whenIdle()
      await handset.settled()
      const replies = inbox(from).slice(before)
      expect(replies).toHaveLength(1)
      return replies[0] ?? ''
    },
  }
}

/** Starts a service with any gateway for a test file. */
export async function runningServiceWith(clock: FixedClock, outside: Outside): Promise<RunningService> {
  const {
    gateway,
    receivers = new Map<string, CallbackReceiver>(),
    settled = () => Promise.resolve(),
    morePages = () => [],
    log = usualLog,
  } = outside
  const lifecycle = openLifecycle(STOP_TIMEOUT_MS)
  const shared = openTestRedis()
  const { url: redisUrl, isCluster } = outside.redis ?? { url: shared.url, isCluster: false }
  const database = await openTestDatabase()
  // Called before the pool is closed and the database dropped: hooks run in reverse.
  afterAll(() => lifecycle.stop())
  const store: Store = {
    ...database,
    config: readConfig({
      QUEUE_PREFIX: shared.prefix,
      REDIS_URL: redisUrl,
      WEBHOOK_PRIVATE_HOSTS: '127.0.0.1',
      REDIS_CLUSTER: isCluster ? 'on' : 'off',
    }),
    vault: testVault,
    log,
    appliedSteps: [],
    openRedis: () => Promise.resolve(redisUrl),
  }
  const service = await startService({ store, lifecycle, clock, gateway, concurrency: 4 })
  const pages = [pagesRouter(service.deps, { newSecret, newCode }), ...morePages(service)]
  const app = buildServer({ deps: service.deps, version: '0.0.0', receivers, pages })
  const address = await listen(app, { host: '127.0.0.1', port: 0, lifecycle })

  async function deliver(): Promise<void> {
    for (let round = 0; round < ROUNDS; round += 1) {
      const { lanes, texts, calls } = await service.sweep()
      await service.whenIdle()
      await settled()
      if (lanes + texts + calls === 0) return
    }
    throw new Error('something is sent again and again')
  }

  async function liveUntil(instant: string): Promise<void> {
    clock.moveTo(instant)
    await service.closeDay()
    await deliver()
  }

  return {
    ...service,
    clock,
    database,
    queuePrefix: shared.prefix,
    address,
    call: apiClient(address),
    tokenFor: async (role, districtId) => {
      const wish = { name: role, role, districtId: districtId ?? null, expiresAt: null }
      return (await makeToken(service.deps, newSecret, wish)).secret
    },
    empty: async () => {
      await database.pool.query('truncate district, receipt cascade')
    },
    deliver,
    liveUntil,
    liveThrough: async (instant) => {
      for (;;) {
        const next = await nextMoment(database, clock.now())
        if (next === null || next >= new Date(instant)) return liveUntil(instant)
        await liveUntil(next.toISOString())
      }
    },
  }
}

/** When the next text is due, or a visit has certainly passed in every zone west of Greenwich + 6. */
async function nextMoment({ db }: TestDatabase, now: Date): Promise<Date | null> {
  const [row] = await db.$queryRaw<{ at: Date | null }[]>`
    select min(at) as at
    from (
      select send_at as at from reminder where status = 'planned'
      union all
      select send_at from vial_warning where status = 'planned'
      union all
      select next_step_at from alert where closed_at is null
      union all
      select (session_on + 2)::timestamptz from appointment where status = 'planned'
      union all
      select (plan_again_on + 1)::timestamptz from child where plan_again_on is not null
    ) as moment
    where at > ${now}`
  return row?.at ?? null
}
