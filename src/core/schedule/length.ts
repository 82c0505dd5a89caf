import { addDays, addMonths, mustParseDay } from '../days/day.ts'
import type { Day, MonthEnd } from '../days/day.ts'

/** An age or interval, folded to months and days: months follow the calendar, weeks are 7 days. */
export interface Length {
  readonly months: number
  readonly days: number
  /** As the schedule writes it: `14 weeks`. */
  readonly text: string
}

/** No time at all: the age at birth. */
export const BIRTH: Length = { months: 0, days: 0, text: '0 days' }

const LENGTH = /^(?:\d+ (?:year|month|week|day)s?)(?: \d+ (?:year|month|week|day)s?)*$/
const PART = /(\d+) (year|month|week|day)/g

const UNITS = {
  year: { months: 12, days: 0 },
  month: { months: 1, days: 0 },
  week: { months: 0, days: 7 },
  day: { months: 0, days: 1 },
} as const

/**
 * Reads `6 weeks`, `8 months 1 day`; anything else is `undefined`.
 * @example readLength('1 year 4 weeks') // { months: 12, days: 28, text: '1 year 4 weeks' }
 */
export function readLength(text: string): Length | undefined {
  if (!LENGTH.test(text)) return undefined
  let months = 0
  let days = 0
  for (const [, count, unit] of text.matchAll(PART)) {
    // The pattern admits only the keys of UNITS.
    const size = UNITS[unit as keyof typeof UNITS]
    months += Number(count) * size.months
    days += Number(count) * size.days
  }
  return { months, days, text }
}

/** The day a length later: months first, then days (CDC CALCDT-6). */
export function later(day: Day, length: Length, monthEnd: MonthEnd): Day {
  const moved = length.months === 0 ? day : addMonths(day, length.months, monthEnd)
  return addDays(moved, length.days)
}

const SAMPLE_BIRTHS = Array.from({ length: 12 }, (_, month) => addMonths(mustParseDay('2024-01-01'), month))

/** Whether one length is longer than another from whichever month it is counted. */
export function isLonger(one: Length, other: Length): boolean {
  return SAMPLE_BIRTHS.every((birth) => later(birth, one, 'roll') > later(birth, other, 'roll'))
}

/** Whether one length is at most as long as another, from whichever month it is counted. */
export function isAtMost(one: Length, other: Length): boolean {
  return SAMPLE_BIRTHS.every((birth) => later(birth, one, 'roll') <= later(birth, other, 'roll'))
}
