import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import pg from 'pg'
import { openDeps, silentConveyor } from '../../src/main/open-deps.ts'
import { openStore } from '../../src/main/with-store.ts'
import { readConfig } from '../../src/platform/config.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import { TEST_KEYS } from '../support/test-vault.ts'
import { chaosClock } from './chaos-clock.ts'
import type { ChaosClock } from './chaos-clock.ts'
import { startCrew } from './crew.ts'
import type { Crew } from './crew.ts'
import type { FarSide } from './far-side.ts'
import type { OwnServers } from './own-servers.ts'
import { seed } from './seed.ts'
import type { Seeded } from './seed.ts'

/** One scenario's service under load, and the hands that hurt it. */
export interface World<Far extends FarSide> {
  readonly servers: OwnServers
  readonly far: Far
  readonly crew: Crew
  readonly seeded: Seeded
  readonly clock: ChaosClock
  /** Resolves when this share of the texts has arrived, or none has come for some seconds. */
  readonly untilArrived: (share: number) => Promise<void>
  /** The clock jumps, for everyone. */
  readonly jump: (ms: number) => void
  /** The clock jumps ahead; what left before takes a moment to arrive and is judged by the hour at which it left. */
  readonly jumpAhead: (ms: number) => Promise<void>
  /** Notes a disturbance and how many texts were in flight at it. */
  readonly noteKill: () => Promise<void>
  readonly kills: () => number
  readonly inFlight: () => number
  /** Reminders that have not come to an end. */
  readonly unfinished: () => Promise<number>
  readonly stop: () => Promise<void>
}

export interface WorldOptions<Far extends FarSide> {
  readonly servers: OwnServers
  readonly startFar: (clock: ChaosClock) => Promise<Far>
  readonly reminders: number
  readonly workers: number
  readonly planners: number
  /** ISO instant at which it begins. */
  readonly startsAt: string
}

const PATIENCE_MS = 5000
const LOOK_MS = 50
const ON_ITS_WAY_MS = 2000

export async function openWorld<Far extends FarSide>(options: WorldOptions<Far>): Promise<World<Far>> {
  const { servers, startFar, reminders, workers, planners, startsAt } = options
  const clock = chaosClock(new Date(startsAt).getTime() - Date.now())
  const databaseUrl = await newDatabase(servers.databaseUrl)
  const folder = await mkdtemp(join(tmpdir(), 'duebell-chaos-gateway-'))
  const lifecycle = openLifecycle(20_000)
  lifecycle.onStop('the description', () => rm(folder, { recursive: true }))
  const environment = {
    DATABASE_URL: databaseUrl,
    REDIS_URL: servers.redisUrl,
    QUEUE_PREFIX: `chaos-${String(Date.now())}`,
    LOG_LEVEL: process.env['LOG_LEVEL'] ?? 'silent',
    DATABASE_CONNECTIONS: '10',
    SEALING_KEYS_FILE: TEST_KEYS,
  }
  const store = await openStore(readConfig(environment), lifecycle)
  const seeded = await seed(openDeps(store, clock, silentConveyor), store, reminders)
  const far = await startFar(clock)
  lifecycle.onStop('the far side', far.stop)
  const description = join(folder, 'gateway.json')
  await writeFile(description, JSON.stringify(far.gateway))
  const crew = await startCrew({
    workers,
    planners,
    environment: { ...environment, CHAOS_GATEWAY: description },
    offsetMs: clock.offsetMs,
  })
  lifecycle.onStop('the crew', crew.stop)
  let [kills, inFlight] = [0, 0]

  async function ask(sql: string): Promise<number> {
    const client = new pg.Client({ connectionString: databaseUrl })
    await client.connect()
    try {
      const { rows } = await client.query<{ count: number }>(sql)
      return rows[0]?.count ?? 0
    } finally {
      await client.end()
    }
  }

  return {
    servers,
    far,
    crew,
    seeded,
    clock,
    untilArrived: async (share) => {
      let [arrived, since] = [-1, Date.now()]
      while (far.arrivals.size < share * seeded.names.size && Date.now() - since < PATIENCE_MS) {
        if (far.arrivals.size > arrived) [arrived, since] = [far.arrivals.size, Date.now()]
        await delay(LOOK_MS)
      }
    },
    jump: (ms) => {
      clock.setOffset(clock.offsetMs() + ms)
      crew.setOffset(clock.offsetMs())
    },
    jumpAhead: async (ms) => {
      crew.setOffset(clock.offsetMs() + ms)
      await delay(ON_ITS_WAY_MS)
      clock.setOffset(clock.offsetMs() + ms)
    },
    noteKill: async () => {
      kills += 1
      inFlight += await ask(`select count(*)::int from text_out where status = 'sending'`).catch(() => 0)
    },
    kills: () => kills,
    inFlight: () => inFlight,
    unfinished: () =>
      ask(`
        select count(*)::int
        from reminder r join child c on c.id = r.child_id join district d on d.id = r.district_id
        where r.kind = 'eve' and r.status in ('planned', 'queued') and c.enrolled_by = 'a copy' and d.name like 'District%'`),
    stop: () => lifecycle.stop(),
  }
}

async function newDatabase(serverUrl: string): Promise<string> {
  const name = `chaos_${String(Date.now())}`
  const client = new pg.Client({ connectionString: serverUrl })
  await client.connect()
  await client.query(`create database ${name}`)
  await client.end()
  const url = new URL(serverUrl)
  url.pathname = name
  return url.href
}
