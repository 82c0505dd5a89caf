import { setTimeout as delay } from 'node:timers/promises'
import { startFarProvider, startFarSmsc } from './far-side.ts'
import type { FarSide, FarSmsc, Manner } from './far-side.ts'
import { openWorld } from './world.ts'
import type { World, WorldOptions } from './world.ts'

/** What happened to the texts of one scenario. */
export interface Outcome {
  readonly scenario: string
  readonly reminders: number
  /** Reminders whose text never reached the far side. */
  readonly lost: number
  /** Texts that reached it more than once. */
  readonly duplicates: number
  /** Texts outside the sending hours of their district. */
  readonly late: number
  readonly kills: number
  readonly seconds: number
  /** Texts in flight, summed over the kills. */
  readonly inFlight: number
  readonly ok: boolean
}

export interface Run {
  readonly servers: WorldOptions<FarSide>['servers']
  readonly reminders: number
  /** True for a few minutes' check: fewer and shorter disturbances. */
  readonly isShort: boolean
}

type Hurt<Far extends FarSide> = (world: World<Far>, run: Run) => Promise<void>

/** In the districts it is 11:00 on a Wednesday, the day before the session. */
const MORNING = '2026-03-04T08:00:00Z'
/** 18:30, half an hour before the hours end. */
const EVENING = '2026-03-04T15:30:00Z'
/** The next opening: 08:00 on the day of the session, while the texts are of use. */
const NEXT_OPENING = '2026-03-05T05:00:00Z'
const HOUR_MS = 3_600_000
const KILL_EVERY_MS = 2000
/** A text that could not go is tried again after a minute of the clock. */
const RETRY_MS = 61_000
/** Seconds of rest after which nothing more is awaited: longer than a dead worker's job takes to go to another. */
const STILL = 25

export interface Scenario {
  readonly name: string
  readonly run: (run: Run) => Promise<Outcome>
}

interface Plan<Far extends FarSide> {
  readonly startFar: WorldOptions<Far>['startFar']
  readonly hurt: Hurt<Far>
  /** Where a kill may put texts in doubt that the gateway cannot recognise: as many may come twice. */
  readonly mayRepeat?: boolean
  readonly planners?: number
  readonly startsAt?: string
}

function scenario<Far extends FarSide>(name: string, plan: Plan<Far>): Scenario {
  return { name, run: (run) => live(name, plan, run) }
}

async function live<Far extends FarSide>(name: string, plan: Plan<Far>, run: Run): Promise<Outcome> {
  const { startFar, hurt, mayRepeat = false, planners = 0, startsAt = MORNING } = plan
  const { servers, reminders, isShort } = run
  const workers = isShort ? 2 : 4
  const world = await openWorld({
    servers,
    startFar,
    reminders,
    workers: Math.max(workers, planners + 1),
    planners,
    startsAt,
  })
  try {
    const begun = performance.now()
    await hurt(world, run)
    await finish(world)
    const seconds = Math.round((performance.now() - begun) / 100) / 10
    const counts = judge(world)
    const allowed = mayRepeat ? world.inFlight() : 0
    const ok = counts.lost === 0 && counts.late === 0 && counts.duplicates <= allowed
    return {
      scenario: name,
      reminders,
      ...counts,
      kills: world.kills(),
      seconds,
      inFlight: world.inFlight(),
      ok,
    }
  } finally {
    await world.stop()
  }
}

/** Lets the service come to rest; when nothing moves, the clock goes on to the next try. */
async function finish(world: World<FarSide>): Promise<void> {
  let before = await world.unfinished()
  for (let still = 0; before > 0 && still < STILL;) {
    await delay(1000)
    const now = await world.unfinished()
    if (now === before) {
      still += 1
      world.jump(RETRY_MS)
    } else still = 0
    before = now
  }
}

function judge({ far, seeded }: World<FarSide>): Pick<Outcome, 'lost' | 'duplicates' | 'late'> {
  let [lost, duplicates, late] = [0, 0, 0]
  for (const name of seeded.names) {
    const times = far.arrivals.get(name) ?? []
    if (times.length === 0) lost += 1
    duplicates += Math.max(0, times.length - 1)
    late += times.filter((at) => !isOpen(at)).length
  }
  for (const name of seeded.asleep) late += far.arrivals.get(name)?.length ?? 0
  return { lost, duplicates, late }
}

/** 08:00 to 19:00 three hours east of Greenwich. */
function isOpen(at: Date): boolean {
  const minute = ((at.getTime() + 3 * HOUR_MS) % (24 * HOUR_MS)) / 60_000
  return minute >= 8 * 60 && minute < 19 * 60
}

const smsc = { startFar: startFarSmsc }

/** The message centre behaves so for a while, in the middle of the work. */
function misbehaving(manner: Manner, ms: number): Hurt<FarSmsc> {
  return async (world) => {
    await world.untilArrived(0.2)
    world.far.behave(manner)
    await delay(ms)
    await world.noteKill()
    world.far.behave('well')
    await world.untilArrived(1)
  }
}

async function killWorkers(world: World<FarSide>, { isShort }: Run): Promise<void> {
  const most = isShort ? 2 : 15
  for (let kill = 0; kill < most && (await world.unfinished()) > 0; kill += 1) {
    await delay(isShort ? 700 : KILL_EVERY_MS)
    world.crew.killOne()
    await world.noteKill()
  }
  await world.untilArrived(1)
}

/** Does something to the servers at a third and at two thirds of the work. */
function twice(hurt: (world: World<FarSide>) => Promise<void>): Hurt<FarSide> {
  return async (world) => {
    for (const share of [0.33, 0.66]) {
      await world.untilArrived(share)
      await world.noteKill()
      await hurt(world)
    }
    await world.untilArrived(1)
  }
}

export const SCENARIOS: readonly Scenario[] = [
  scenario('workers-killed-http', { startFar: startFarProvider, hurt: killWorkers }),
  scenario('workers-killed-smpp', { ...smsc, hurt: killWorkers, mayRepeat: true }),
  scenario('redis-emptied', { ...smsc, hurt: twice((world) => world.servers.emptyRedis()) }),
  scenario('redis-restarted', { ...smsc, hurt: twice((world) => world.servers.restartRedis()) }),
  scenario('redis-disk-full', {
    ...smsc,
    hurt: async (world) => {
      await world.untilArrived(0.2)
      await world.servers.fillDisk()
      await world.noteKill()
      await delay(4000)
      await world.servers.mendDisk()
      await world.untilArrived(1)
    },
  }),
  scenario('postgres-restarted', {
    ...smsc,
    hurt: twice((world) => world.servers.restartPostgres()),
    mayRepeat: true,
  }),
  scenario('link-dropped', {
    ...smsc,
    mayRepeat: true,
    hurt: async (world, { isShort }) => {
      for (const share of isShort ? [0.3, 0.6] : [0.1, 0.3, 0.5, 0.7, 0.9]) {
        await world.untilArrived(share)
        world.far.behave('drop')
        await world.noteKill()
        await delay(200)
        world.far.behave('well')
      }
      await world.untilArrived(1)
    },
  }),
  scenario('smsc-silent', { ...smsc, hurt: misbehaving('silent', 1000), mayRepeat: true }),
  scenario('smsc-answers-twice', { ...smsc, hurt: misbehaving('twice', 3000) }),
  scenario('smsc-throttles', { ...smsc, hurt: misbehaving('throttling', 3000) }),
  scenario('receipts-first', { ...smsc, hurt: misbehaving('receipts-first', 3000) }),
  scenario('planners-and-workers-race', {
    ...smsc,
    planners: 2,
    hurt: (world) => world.untilArrived(1),
  }),
  scenario('clock-jumps', {
    ...smsc,
    startsAt: EVENING,
    hurt: async (world) => {
      await world.untilArrived(0.3)
      await world.jumpAhead(HOUR_MS)
      await delay(2000)
      world.jump(-HOUR_MS)
      await world.untilArrived(1)
      world.jump(new Date(NEXT_OPENING).getTime() - world.clock.now().getTime())
      await world.untilArrived(1)
    },
  }),
]
