import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { dayAt, instantOf } from '../days/zoned-time.ts'
import type { ReminderKind, Reminders, ReminderStep } from './policy.ts'
import { isRecall, recipientOf } from './preference.ts'
import type { Recipient, ReminderPreference } from './preference.ts'
import { hoursOn, sendingMoment } from './sending-hours.ts'
import type { SendingHours } from './sending-hours.ts'

/** Plans the texts about one visit. docs/reminders.md states the rules. */

export interface VisitToRemind {
  /** The session day of the appointment. */
  readonly visitOn: Day
  readonly reminders: Reminders
  readonly preference: ReminderPreference
  /** Recall texts that went to the family since the child's last visit. */
  readonly triesMade: number
  readonly triesAtMost: number
}

export interface PlannedReminder {
  readonly kind: ReminderKind
  readonly to: Recipient
  /** The civil day of `sendAt`. */
  readonly sendOn: Day
  readonly sendAt: Date
  /** After this instant the text lapses. */
  readonly usefulUntil: Date
}

/**
 * `not-wanted`: the family chose so · `tries-used-up`: they were recalled often enough · `too-late`: no hour is left
 * while it is of use · `same-day`: another text about this visit leaves that day.
 */
export type SkipReason = 'not-wanted' | 'tries-used-up' | 'too-late' | 'same-day'

export interface SkippedReminder {
  readonly kind: ReminderKind
  readonly reason: SkipReason
}

export interface ReminderPlan {
  readonly planned: readonly PlannedReminder[]
  readonly skipped: readonly SkippedReminder[]
}

/** The texts to be sent about a visit to come, in order of their days, and those left out. */
export function planReminders(visit: VisitToRemind, hours: SendingHours, now: Date): ReminderPlan {
  return plan(['ahead', 'eve', 'missed-1', 'missed-2'], visit, hours, now)
}

/** The advice to be sent about a visit that took place: `visitOn` is the day of the doses. */
export function planAftercare(visit: VisitToRemind, hours: SendingHours, now: Date): ReminderPlan {
  return plan(['aftercare'], visit, hours, now)
}

function plan(
  kinds: readonly ReminderKind[],
  visit: VisitToRemind,
  hours: SendingHours,
  now: Date,
): ReminderPlan {
  const planned: PlannedReminder[] = []
  const skipped: SkippedReminder[] = []
  for (const kind of kinds) {
    const step = visit.reminders[kind]
    if (step === undefined) continue
    const to = recipientOf(kind, visit.preference)
    const tries = visit.triesMade + planned.filter((reminder) => isRecall(reminder.kind)).length
    const time = timeFor(step, visit.visitOn, hours, now)
    if (to === null) skipped.push({ kind, reason: 'not-wanted' })
    else if (tries >= visit.triesAtMost) skipped.push({ kind, reason: 'tries-used-up' })
    else if (time === undefined) skipped.push({ kind, reason: 'too-late' })
    else if (planned.some(({ sendOn }) => sendOn === time.sendOn)) skipped.push({ kind, reason: 'same-day' })
    else planned.push({ kind, to, ...time })
  }
  return { planned, skipped }
}

type SendingTime = Pick<PlannedReminder, 'sendOn' | 'sendAt' | 'usefulUntil'>

/** The first allowed moment from the step's day on; `undefined` where the text is of no use by then. */
function timeFor(step: ReminderStep, visitOn: Day, hours: SendingHours, now: Date): SendingTime | undefined {
  const { zone } = hours
  const wishedOn = addDays(visitOn, step.days)
  const from = instantOf({ day: step.days < 0 ? openDayUpTo(wishedOn, hours) : wishedOn, minute: 0 }, zone)
  const { days, at } = step.usefulUntil
  const usefulUntil = instantOf({ day: addDays(visitOn, days), minute: at }, zone)
  const sendAt = sendingMoment(from > now ? from : now, usefulUntil, hours)
  return sendAt === undefined ? undefined : { sendOn: dayAt(sendAt, zone), sendAt, usefulUntil }
}

/** Longest closure before which a text about a visit goes; beyond it, it goes after. */
const LONGEST_MOVE_DAYS = 7

/** The last day with hours up to a day: what should be read before a visit goes before a closed day, not after. */
function openDayUpTo(day: Day, hours: SendingHours): Day {
  for (let back = 0; back <= LONGEST_MOVE_DAYS; back += 1) {
    if (hoursOn(hours, addDays(day, -back)) !== null) return addDays(day, -back)
  }
  return day
}
