import { addDays, weekday } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { instantOf, localTimeAt } from '../days/zoned-time.ts'
import type { LocalTime } from '../days/zoned-time.ts'
import type { ReminderPolicy } from './policy.ts'

/** Hours on the clock in minutes since 00:00: `from` is in, `until` is out. */
export interface OpenHours {
  readonly from: number
  readonly until: number
}

/** When texts may leave in a district. */
export interface SendingHours {
  /** IANA name. */
  readonly zone: string
  /** Monday first; `null` on a weekday without texts. */
  readonly byWeekday: readonly (OpenHours | null)[]
  /** Days without texts. */
  readonly closedOn: ReadonlySet<Day>
}

export function sendingHours({ hours, holidays }: ReminderPolicy, zone: string): SendingHours {
  const { monday, tuesday, wednesday, thursday, friday, saturday, sunday } = hours
  const byWeekday = [monday, tuesday, wednesday, thursday, friday, saturday, sunday]
  return { zone, byWeekday, closedOn: new Set(holidays) }
}

/** The hours of one day; `null` where no text may leave on it. */
export function hoursOn({ byWeekday, closedOn }: SendingHours, day: Day): OpenHours | null {
  return closedOn.has(day) ? null : (byWeekday[weekday(day) - 1] ?? null)
}

/** True when a text may leave at this instant. */
export function maySendAt(instant: Date, hours: SendingHours): boolean {
  return isOpen(localTimeAt(instant, hours.zone), hours)
}

function isOpen({ day, minute }: LocalTime, hours: SendingHours): boolean {
  const open = hoursOn(hours, day)
  return open !== null && minute >= open.from && minute < open.until
}

/** When the hours that are open at an instant close; the instant itself where no text may leave at it. */
export function closingAfter(instant: Date, hours: SendingHours): Date {
  const local = localTimeAt(instant, hours.zone)
  const open = hoursOn(hours, local.day)
  if (open === null || !isOpen(local, hours)) return instant
  return instantOf({ day: local.day, minute: open.until }, hours.zone)
}

/** The first moment of a day at which a text may leave; `undefined` on a day without hours. */
export function sendInstant(day: Day, hours: SendingHours): Date | undefined {
  const open = hoursOn(hours, day)
  if (open === null) return undefined
  const instant = instantOf({ day, minute: open.from }, hours.zone)
  const shown = localTimeAt(instant, hours.zone)
  // The clock may leap over the hours, or over the whole day.
  return shown.day === day && isOpen(shown, hours) ? instant : undefined
}

/** Longest run of days without texts that is looked beyond. */
const LONGEST_CLOSURE_DAYS = 60

/** The instant itself where a text may leave at it, else the next opening; `undefined` where none is in sight. */
export function nextSendingMoment(instant: Date, hours: SendingHours): Date | undefined {
  const local = localTimeAt(instant, hours.zone)
  if (isOpen(local, hours)) return instant
  for (let ahead = 0; ahead <= LONGEST_CLOSURE_DAYS; ahead += 1) {
    const opening = sendInstant(addDays(local.day, ahead), hours)
    if (opening !== undefined && opening >= instant) return opening
  }
  return undefined
}

/**
 * When a text that is of use until an instant may leave, from another instant on: that instant itself (send it), a
 * later one (postpone it), or `undefined` (let it lapse).
 */
export function sendingMoment(from: Date, usefulUntil: Date, hours: SendingHours): Date | undefined {
  const moment = nextSendingMoment(from, hours)
  return moment !== undefined && moment <= usefulUntil ? moment : undefined
}
