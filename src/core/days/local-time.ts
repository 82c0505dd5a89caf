import { DateTime } from 'luxon'
import { addDays, civilDate, dayOf } from './day.ts'
import type { Day } from './day.ts'

/** The civil day that a zone's clocks show at an instant. */
export function dayAt(at: Date, zone: string): Day {
  const local = DateTime.fromJSDate(at, { zone })
  const day = dayOf(local.year, local.month, local.day)
  if (day === undefined) throw new RangeError(`no such instant or time zone: ${zone}`)
  return day
}

/**
 * The instant at which a zone's clocks show a day and a time of day.
 * Where clocks go back it is the earlier of the two; where they skip it, the first instant after.
 */
export function instantAt(day: Day, hour: number, minute: number, zone: string): Date {
  const { year, month, dayOfMonth } = civilDate(day)
  const local = DateTime.fromObject({ year, month, day: dayOfMonth, hour, minute }, { zone })
  if (!local.isValid) throw new RangeError(`no such time or time zone: ${zone}`)
  // Which of two equal clock times luxon picks depends on the season in which the process runs.
  return new Date(Math.min(...local.getPossibleOffsets().map((each) => each.toMillis())))
}

/** The first instant of a day. */
export function startOfDay(day: Day, zone: string): Date {
  return instantAt(day, 0, 0, zone)
}

/** The last instant (millisecond) of a day. */
export function endOfDay(day: Day, zone: string): Date {
  return new Date(startOfDay(addDays(day, 1), zone).getTime() - 1)
}
