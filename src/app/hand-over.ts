import type { LaneNumbers } from '../store/reminders.ts'
import { batchRun } from './batch-run.ts'
import type { RunCounts } from './batch-run.ts'
import type { Deps } from './deps.ts'
import { lanesOf, numbersOf } from './lanes.ts'
import type { Gateway, Lane } from './ports.ts'
import { openSubmissions } from './submit-texts.ts'
import { takeBundles } from './take-bundles.ts'
import type { Taken } from './take-bundles.ts'

/** One worker goes on with a lane for so long; then whatever is left is hinted at again. */
const STINT_MS = 10_000

/**
 * Hands over what is due in a lane, batch by batch, until nothing is or the lane is in trouble. Each batch is taken
 * while the one before it is on its way.
 */
export async function handOver(deps: Deps, gateway: Gateway, laneName: string): Promise<void> {
  const lanes = lanesOf(gateway)
  const lane = lanes.find(({ name }) => name === laneName)
  if (lane?.isUp() !== true) return
  await batchRun(deps, `hand-over ${laneName}`, () => doStint(deps, gateway, lane, numbersOf(lane, lanes)))
}

async function doStint(deps: Deps, gateway: Gateway, lane: Lane, numbers: LaneNumbers): Promise<RunCounts> {
  const counts: Record<string, number> = {}
  const add = (outcome: string, count = 1): void => {
    counts[outcome] = (counts[outcome] ?? 0) + count
  }
  const submit = openSubmissions(deps, gateway, lane)
  const send = async (texts: Taken['texts']): Promise<void> => {
    const sent = await Promise.allSettled(
      texts.map((text) => submit({ ...text, purpose: 'reminder', isUrgent: false, doubts: 0 })),
    )
    for (const one of sent) add(one.status === 'fulfilled' ? one.value : 'not-stored')
    const [error] = sent.flatMap((one) => (one.status === 'rejected' ? [one.reason as unknown] : []))
    // They stay stored as being sent; when their lease is over they are in doubt.
    if (error !== undefined) deps.log.error('answers not stored', { lane: lane.name, error })
  }
  const until = performance.now() + STINT_MS
  let onItsWay = Promise.resolve()
  while (lane.isUp() && performance.now() < until) {
    const { isAnyDue, texts, left } = await takeBundles(deps, lane, numbers)
    for (const [outcome, count] of Object.entries(left)) add(outcome, count)
    await onItsWay
    if (!isAnyDue) return counts
    onItsWay = send(texts)
  }
  await onItsWay
  return counts
}
