import { forgetDialogues } from '../store/dialogues.ts'
import { lapseReminders, pickBundles } from '../store/reminders.ts'
import { freeAbandonedTexts } from '../store/texts-under-way.ts'
import { listUnhandledTextsIn, listWaitingTextsOut } from '../store/texts.ts'
import { listDueCalls } from '../store/webhooks.ts'
import { batchRun } from './batch-run.ts'
import type { Deps } from './deps.ts'
import { lanesOf, numbersOf } from './lanes.ts'
import type { Gateway } from './ports.ts'
import { DIALOGUE_IDLE_MS } from './screens/answer-screen.ts'
import { stepAlerts } from './reactions/alerts.ts'
import { MOST_DOUBTS } from './settle-submissions.ts'
import { warnOfVials } from './vials/warn-of-vials.ts'

/** How much one sweep takes, so that no sweep holds up another for long. */
const BATCH = 500
const UNREAD_MS = 10_000

export interface Swept {
  /** Lanes in which something is due. */
  readonly lanes: number
  readonly lapsed: number
  readonly texts: number
  /** Calls to other systems. */
  readonly calls: number
}

/**
 * Finds everything that is due and puts a hint on the conveyor, also for what a lost Redis or a dead worker left
 * behind. Any number of processes may sweep at once; doing it twice changes nothing.
 */
export async function sweep(deps: Deps, gateway: Gateway): Promise<Swept> {
  let swept: Swept = { lanes: 0, lapsed: 0, texts: 0, calls: 0 }
  await batchRun(deps, 'sweep', async () => {
    swept = await sweepOnce(deps, gateway)
    return { ...swept }
  })
  return swept
}

async function sweepOnce(deps: Deps, gateway: Gateway): Promise<Swept> {
  const { db } = deps.database
  const now = deps.clock.now()
  const lapsed = await lapseReminders(db, now)
  await forgetDialogues(db, new Date(now.getTime() - DIALOGUE_IDLE_MS))
  await warnOfVials(deps)
  await stepAlerts(deps)
  await freeAbandonedTexts(db, now, MOST_DOUBTS)
  const unread = await listUnhandledTextsIn(db, { before: new Date(now.getTime() - UNREAD_MS), now }, BATCH)
  for (const id of unread) await deps.conveyor.readText(id)
  const waiting = await listWaitingTextsOut(db, now, BATCH)
  for (const text of waiting) await deps.conveyor.sendText(text)
  const calls = await listDueCalls(db, now, BATCH)
  for (const id of calls) await deps.conveyor.callWebhook(id)
  const lanes = await hintLanes(deps, gateway, now)
  return { lanes, lapsed, texts: unread.length + waiting.length, calls: calls.length }
}

/** Hints at the lanes that have something due and can take it. */
async function hintLanes(deps: Deps, gateway: Gateway, now: Date): Promise<number> {
  const lanes = lanesOf(gateway)
  let hinted = 0
  for (const lane of lanes) {
    const [due] = lane.isUp() ? await pickBundles(deps.database.db, numbersOf(lane, lanes), now, 1) : []
    if (due === undefined) continue
    await deps.conveyor.handOver(lane.name)
    hinted += 1
  }
  return hinted
}
