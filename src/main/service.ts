import { answerText } from '../app/answering/answer-text.ts'
import { batchRun } from '../app/batch-run.ts'
import { linkChanges } from '../app/audit/link-changes.ts'
import { closePassedVisits } from '../app/close-passed-visits.ts'
import type { Deps } from '../app/deps.ts'
import type { Clock, Gateway } from '../app/ports.ts'
import { findDoubles } from '../app/doubles/find-doubles.ts'
import { receiveText } from '../app/receive-text.ts'
import { recordReceipt } from '../app/record-receipt.ts'
import { answerScreen } from '../app/screens/answer-screen.ts'
import { handOver } from '../app/hand-over.ts'
import { asIfUp, laneFor, lanesOf } from '../app/lanes.ts'
import { searchErased } from '../app/privacy/search-erased.ts'
import { retain } from '../app/privacy/retain.ts'
import { sendMonthSummaries } from '../app/send-month-summaries.ts'
import { sendText } from '../app/send-text.ts'
import { tellWhatToCarry } from '../app/supplies/tell-what-to-carry.ts'
import { warnOfBudget } from '../app/warn-of-budget.ts'
import { sweep } from '../app/sweep.ts'
import type { Swept } from '../app/sweep.ts'
import { callWebhook } from '../app/webhooks/call-webhook.ts'
import { webhookPoster } from '../gateway/webhooks/poster.ts'
import { openProviderIds } from '../store/receipts.ts'
import type { Lifecycle } from '../platform/lifecycle.ts'
import { newIds, newSecret, random } from '../platform/ids.ts'
import { connectRedis, ENDLESS } from '../platform/redis-connection.ts'
import { openConveyor } from '../queue/conveyor.ts'
import { startWorkers } from '../queue/workers.ts'
import { loadShelf } from './shelf.ts'
import { placeOfRedis } from './with-store.ts'
import type { Store } from './with-store.ts'

export interface ServiceOptions {
  readonly store: Store
  readonly lifecycle: Lifecycle
  readonly clock: Clock
  readonly gateway: Gateway
  /** Jobs under way at once, for each queue. */
  readonly concurrency: number
}

/** Longest that another system may take to answer a call. */
const CALL_TIMEOUT_MS = 10_000

/** The running whole, less its web side. */
export interface Service {
  readonly deps: Deps
  /** Puts what is due on the conveyor; see app/sweep.ts. */
  readonly sweep: () => Promise<Swept>
  /** Closes the visits whose day has passed; at the turn of a month sums it up. */
  readonly closeDay: () => Promise<void>
  /** Jobs of each queue that wait or are under way. */
  readonly queueDepths: () => Promise<ReadonlyMap<string, number>>
  /** Links what was noted into the chain of the record; see app/audit. */
  readonly linkRecord: () => Promise<void>
  /** Looks for children and doses that are twice on the register. */
  readonly findDoubles: () => Promise<unknown>
  /** Looks for texts that tell of erased children; see app/privacy/search-erased.ts. */
  readonly searchErased: () => Promise<unknown>
  /** Ends what is past its term; see app/privacy/retain.ts. */
  readonly retain: () => Promise<unknown>
  /** Resolves when the conveyor is empty. */
  readonly whenIdle: () => Promise<void>
}

/** Puts together what the roles of this process need: store, conveyor, workers, gateway. Stops with the lifecycle, in reverse. */
export async function startService(options: ServiceOptions): Promise<Service> {
  const { store, lifecycle, clock, gateway, concurrency } = options
  const { queuePrefix: prefix, roles } = store.config
  const redis = connectRedis(await placeOfRedis(store), ENDLESS)
  lifecycle.onStop('the Redis connection', async () => {
    await redis.quit()
  })
  const allLanes = lanesOf(gateway)
  const lanes = allLanes.map(({ name }) => name)
  const laneOf = (number: string): string => laneFor(allLanes, number).name
  const conveyor = openConveyor({ redis, prefix, lanes, laneOf, now: clock.now, log: store.log })
  lifecycle.onStop('the conveyor', conveyor.close)
  const deps: Deps = {
    database: store,
    clock,
    newId: newIds(clock.now),
    newSecret,
    log: store.log,
    shelf: loadShelf(store.config.reminderPoliciesFolder),
    conveyor,
  }
  const settled = openSignal()
  const [reads, sends] = [roles.has('receiver'), roles.has('sender')]
  if (reads || sends) {
    // Whoever has a link to the network stores what comes over it.
    await gateway.open({
      onText: (text) => receiveText(deps, text),
      onReceipt: (receipt) => recordReceipt(deps, receipt),
      onScreen: (request) => answerScreen(deps, request),
    })
    lifecycle.onStop('the gateway', gateway.close)
    gateway.followReceipts?.(await openProviderIds(store.db, gateway.name, clock.now()))
  }
  const workers = startWorkers(
    { redis, prefix, lanes, reads, sends, log: store.log, concurrency, onSettled: settled.give },
    {
      readText: (id) => answerText(deps, id),
      sendText: (id) => sendText(deps, gateway, id),
      handOver: (lane) => handOver(deps, gateway, lane),
      callWebhook: caller(deps, store.config),
    },
  )
  lifecycle.onStop('the workers', workers.close)
  return {
    deps,
    // Without a link of its own a process cannot tell whether another one's is up.
    sweep: () => sweep(deps, reads || sends ? gateway : asIfUp(gateway)),
    closeDay: () => closeDay(deps),
    queueDepths: conveyor.countByQueue,
    linkRecord: async () => {
      await linkChanges(deps)
    },
    findDoubles: () => findDoubles(deps),
    searchErased: () => searchErased(deps),
    retain: () => retain(deps),
    whenIdle: () => drained(conveyor.countJobs, settled.next),
  }
}

/** Closes the visits whose day has passed, then says what a day or a month is to be told of. */
async function closeDay(deps: Deps): Promise<void> {
  await batchRun(deps, 'close-day', async () => ({ ...(await closePassedVisits(deps)) }))
  await sendMonthSummaries(deps)
  await tellWhatToCarry(deps)
  await warnOfBudget(deps)
}

/** Makes a call to another system, only where the settings allow. */
function caller(deps: Deps, { webhookPrivateHosts: privateHosts }: Store['config']) {
  const poster = webhookPoster({ privateHosts, timeoutMs: CALL_TIMEOUT_MS })
  return (id: string) => callWebhook(deps, { poster, random }, id)
}

/** Wakes whoever waits for a job to be settled. */
function openSignal() {
  let waiting: (() => void)[] = []
  return {
    give: () => {
      const woken = waiting
      waiting = []
      for (const wake of woken) wake()
    },
    next: () => new Promise<void>((resolve) => waiting.push(resolve)),
  }
}

/** Resolves when no job is left; each settled job is a reason to look again. */
async function drained(countJobs: () => Promise<number>, settled: () => Promise<void>): Promise<void> {
  for (;;) {
    // Listening begins before looking, so that a job settled in between is not missed.
    const next = settled()
    if ((await countJobs()) === 0) return
    await next
  }
}
