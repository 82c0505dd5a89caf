/**
 * A civil day without a time zone, held as the number of days since 1970-01-01.
 * Days compare and subtract as plain integers; text appears only at the edges (`parseDay`, `formatDay`).
 */
export type Day = number & { readonly day: unique symbol }

/** A length of calendar time. Weeks are 7 days; months and years follow the calendar. */
export interface Span {
  readonly years?: number
  readonly months?: number
  readonly weeks?: number
  readonly days?: number
}

/**
 * What a month step does when the day does not exist (31 January + 1 month):
 * `roll` goes to the first of the following month (CDC CALCDT-5), `clamp` to the last day of the month.
 */
export type MonthEnd = 'roll' | 'clamp'

export interface CivilDate {
  readonly year: number
  /** 1 to 12. */
  readonly month: number
  /** 1 to 31. */
  readonly dayOfMonth: number
}

const ISO_DAY = /^(\d{4})-(\d{2})-(\d{2})$/

/** Days since 1970-01-01 of a proleptic Gregorian date (H. Hinnant's days_from_civil, 2013). */
function serial(year: number, month: number, dayOfMonth: number): Day {
  const shifted = month <= 2 ? year - 1 : year
  const era = Math.floor(shifted / 400)
  const yearOfEra = shifted - era * 400
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + dayOfMonth - 1
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear
  return (era * 146_097 + dayOfEra - 719_468) as Day
}

/** The calendar date of a day (H. Hinnant's civil_from_days, 2013). */
export function civilDate(day: Day): CivilDate {
  const shifted = day + 719_468
  const era = Math.floor(shifted / 146_097)
  const dayOfEra = shifted - era * 146_097
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  )
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100))
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153)
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    dayOfMonth: dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1,
  }
}

const MONTH_LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const

/** Number of days in a month (1 to 12) of a year. */
export function daysInMonth(year: number, month: number): number {
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
  return month === 2 && isLeap ? 29 : (MONTH_LENGTHS[month - 1] ?? 0)
}

/** The day of a calendar date, or `undefined` when there is no such date (30 February). */
export function dayOf(year: number, month: number, dayOfMonth: number): Day | undefined {
  const isReal = month >= 1 && month <= 12 && dayOfMonth >= 1 && dayOfMonth <= daysInMonth(year, month)
  return isReal ? serial(year, month, dayOfMonth) : undefined
}

/**
 * Reads `YYYY-MM-DD`; anything else, also an impossible date, is `undefined`.
 * @example formatDay(parseDay('2026-02-28')!) // '2026-02-28'
 */
export function parseDay(text: string): Day | undefined {
  const match = ISO_DAY.exec(text)
  return match === null ? undefined : dayOf(Number(match[1]), Number(match[2]), Number(match[3]))
}

/** Reads a day that is known to be good (a literal, a database value); a bad one is a bug and throws. */
export function mustParseDay(text: string): Day {
  const day = parseDay(text)
  if (day === undefined) throw new RangeError(`not a day: ${text}`)
  return day
}

const padded = (value: number, width: number): string => String(value).padStart(width, '0')

/** `YYYY-MM-DD`. */
export function formatDay(day: Day): string {
  const { year, month, dayOfMonth } = civilDate(day)
  return `${padded(year, 4)}-${padded(month, 2)}-${padded(dayOfMonth, 2)}`
}

/** Steps by whole days; negative goes back. */
export function addDays(day: Day, days: number): Day {
  return (day + days) as Day
}

/** Steps by calendar months (CALCDT-2, CALCDT-5); negative goes back. */
export function addMonths(day: Day, months: number, monthEnd: MonthEnd = 'roll'): Day {
  return monthsAfter(civilDate(day), months, monthEnd)
}

/** As `addMonths`, for a day whose calendar date is at hand: many steps from one birth. */
export function monthsAfter({ year, month, dayOfMonth }: CivilDate, months: number, monthEnd: MonthEnd): Day {
  const index = year * 12 + (month - 1) + months
  const targetYear = Math.floor(index / 12)
  const targetMonth = index - targetYear * 12 + 1
  const length = daysInMonth(targetYear, targetMonth)
  if (dayOfMonth <= length) return serial(targetYear, targetMonth, dayOfMonth)
  const lastDay = serial(targetYear, targetMonth, length)
  return monthEnd === 'clamp' ? lastDay : addDays(lastDay, 1)
}

/**
 * Adds a span: years and months first, then weeks and days (CALCDT-6).
 * @example formatDay(addSpan(mustParseDay('2024-05-31'), { months: 9 })) // '2025-03-01'
 */
export function addSpan(day: Day, span: Span, monthEnd: MonthEnd = 'roll'): Day {
  const months = (span.years ?? 0) * 12 + (span.months ?? 0)
  const moved = months === 0 ? day : addMonths(day, months, monthEnd)
  return addDays(moved, (span.weeks ?? 0) * 7 + (span.days ?? 0))
}

/** 1 = Monday … 7 = Sunday (ISO 8601). */
export function weekday(day: Day): number {
  return ((((day + 3) % 7) + 7) % 7) + 1
}

/** Completed months from one day to a later one; 31 January to 28 February is 0. */
export function completedMonths(from: Day, to: Day): number {
  const start = civilDate(from)
  const end = civilDate(to)
  const months = (end.year - start.year) * 12 + end.month - start.month
  return end.dayOfMonth < start.dayOfMonth ? months - 1 : months
}
