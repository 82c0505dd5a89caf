import { civilDate, dayOf } from '../days/day.ts'
import type { CivilDate, Day } from '../days/day.ts'

/** Dates of other calendars, by the tables of Intl (Unicode CLDR). */

const DAY_MS = 86_400_000

/** 1900-01-01 and 2100-01-01. */
const FIRST_DAY = -25_567
const LAST_DAY = 47_482

/** Formatters are slow to make. */
const formatters = new Map<string, Intl.DateTimeFormat>()

function formatterOf(calendar: string): Intl.DateTimeFormat {
  const known = formatters.get(calendar)
  if (known !== undefined) return known
  const made = new Intl.DateTimeFormat(`en-u-ca-${calendar}-nu-latn`, {
    timeZone: 'UTC',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
  })
  formatters.set(calendar, made)
  return made
}

/** What a calendar (gregory, ethiopic, islamic-umalqura, persian, buddhist) shows on a day. */
export function dateInCalendar(day: Day, calendar: string): CivilDate {
  if (calendar === 'gregory') return civilDate(day)
  const parts = new Map(
    formatterOf(calendar)
      .formatToParts(day * DAY_MS)
      .map(({ type, value }) => [type, Number(value)]),
  )
  return {
    year: parts.get('year') ?? 0,
    month: parts.get('month') ?? 0,
    dayOfMonth: parts.get('day') ?? 0,
  }
}

const order = ({ year, month, dayOfMonth }: CivilDate): number => (year * 100 + month) * 100 + dayOfMonth

/**
 * The day of a calendar's date between 1900 and 2100, or `undefined` where there is no such date.
 * @example dayInCalendar({ year: 2019, month: 1, dayOfMonth: 1 }, 'ethiopic') // 2026-09-11
 */
export function dayInCalendar(date: CivilDate, calendar: string): Day | undefined {
  if (calendar === 'gregory') return dayOf(date.year, date.month, date.dayOfMonth)
  let low = FIRST_DAY
  let high = LAST_DAY
  while (low < high) {
    const middle = Math.floor((low + high) / 2)
    // A whole number of days is a Day.
    if (order(dateInCalendar(middle as Day, calendar)) < order(date)) low = middle + 1
    else high = middle
  }
  const day = low as Day
  return order(dateInCalendar(day, calendar)) === order(date) ? day : undefined
}

/** A month that has a name, and the calendar it is of. */
export interface MonthName {
  readonly calendar: string
  /** 1 to 12, or 13 in the Ethiopian calendar. */
  readonly month: number
}

/** The months of a calendar as a locale writes them, long and short. */
export function monthNames(locale: string, calendar: string): [name: string, month: MonthName][] {
  const names: [string, MonthName][] = []
  for (const style of ['long', 'short'] as const) {
    const format = new Intl.DateTimeFormat(`${locale}-u-ca-${calendar}-nu-latn`, {
      timeZone: 'UTC',
      month: style,
    })
    const seen = new Set<number>()
    // 14 months of days from 2026-01-01 show every month, also the five days of the thirteenth.
    for (let day = 20_454; day < 20_454 + 425; day++) {
      const { month } = dateInCalendar(day as Day, calendar)
      if (!seen.has(month)) names.push([format.format(day * DAY_MS), { calendar, month }])
      seen.add(month)
    }
  }
  return names
}

/** The weekdays as a locale writes them, long and short; 1 = Monday. */
export function weekdayNames(locale: string): [name: string, weekday: number][] {
  return (['long', 'short'] as const).flatMap((style) => {
    const format = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', weekday: style })
    // 2026-01-05 is a Monday.
    return [1, 2, 3, 4, 5, 6, 7].map((weekday): [string, number] => [
      format.format((20_457 + weekday) * DAY_MS),
      weekday,
    ])
  })
}
