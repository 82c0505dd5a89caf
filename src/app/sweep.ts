import { formatDay } from '../core/days/day.ts'
import { lapseReminders, listStrayBundles, queueDueReminders } from '../store/reminders.ts'
import type { DueBundle } from '../store/reminders.ts'
import { followText } from '../store/reminders.ts'
import { forgetDialogues } from '../store/dialogues.ts'
import {
  listAbandonedTextsOut,
  listUnhandledTextsIn,
  listWaitingTextsOut,
  postponeTextOut,
  settleTextOut,
  takeAbandonedTextOut,
} from '../store/texts.ts'
import type { Deps } from './deps.ts'
import type { Gateway } from './ports.ts'
import { DIALOGUE_IDLE_MS } from './screens/answer-screen.ts'
import { warnOfVials } from './vials/warn-of-vials.ts'

/** How much one sweep takes, so that no sweep holds up another for long. */
const BATCH = 500
/** Work older than this whose hint has not led to anything is hinted at again. */
const STRAY_MS = 5 * 60_000
const UNREAD_MS = 10_000

export interface SweepOptions {
  /** How far ahead of their hour reminders are put on the conveyor. */
  readonly horizonMs: number
}

export interface Swept {
  readonly bundles: number
  readonly lapsed: number
  readonly texts: number
}

/**
 * Finds everything that is due and puts it on the conveyor, also what a lost Redis or a dead worker left behind.
 * Any number of processes may sweep at once; doing it twice changes nothing.
 */
export async function sweep(deps: Deps, gateway: Gateway, options: SweepOptions): Promise<Swept> {
  const { db } = deps.database
  const now = deps.clock.now()
  const lapsed = await lapseReminders(db, now)
  await forgetDialogues(db, new Date(now.getTime() - DIALOGUE_IDLE_MS))
  const due = await queueDueReminders(db, new Date(now.getTime() + options.horizonMs), now, BATCH)
  const stray = await listStrayBundles(db, new Date(now.getTime() - STRAY_MS), now, BATCH)
  for (const bundle of [...due, ...stray]) await hintBundle(deps, bundle)
  await warnOfVials(deps)
  await freeAbandoned(deps, gateway, now)
  const unread = await listUnhandledTextsIn(db, new Date(now.getTime() - UNREAD_MS), BATCH)
  for (const id of unread) await deps.conveyor.readText(id)
  const waiting = await listWaitingTextsOut(db, now, BATCH)
  for (const id of waiting) await deps.conveyor.sendText(id, true)
  return { bundles: due.length + stray.length, lapsed, texts: unread.length + waiting.length }
}

async function hintBundle(deps: Deps, { lineId, kind, aboutOn, sendAt }: DueBundle): Promise<void> {
  await deps.conveyor.sendBundle({ lineId, kind, aboutOn: formatDay(aboutOn) }, sendAt)
}

/**
 * A text whose sender died may or may not have left. Where the gateway knows our ids it is sent again, which never
 * sends twice; elsewhere its fate stays unknown.
 */
async function freeAbandoned(deps: Deps, gateway: Gateway, now: Date): Promise<void> {
  const { db } = deps.database
  for (const id of await listAbandonedTextsOut(db, now, BATCH)) {
    await deps.database.transaction(async (tx) => {
      // The sender may only have been slow, and have settled the text since it was listed.
      if (!(await takeAbandonedTextOut(tx, id, now))) return
      if (gateway.isIdempotent) return postponeTextOut(tx, id, now, 'sender-died')
      await settleTextOut(tx, id, { status: 'unknown', reason: 'sender-died', at: now })
      await followText(tx, id, { status: 'unknown', reason: 'sender-died' }, now)
    })
  }
}
