import type { Day } from '../days/day.ts'
import { dateInCalendar } from '../reading/calendar-date.ts'
import { measure } from './segments.ts'
import { dropAccents } from './tidy.ts'

/** The calendars of Unicode CLDR that a district may use. */
export const CALENDARS = ['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist'] as const

/** How a day is put into words. */
export interface DayStyle {
  readonly language: string
  /** One of `CALENDARS`. */
  readonly calendar: string
  /** Adds the year; for birth dates and old doses. */
  readonly withYear?: boolean
  /** Opening hours to put behind the day: "09:00-13:00"; null where they are not known. */
  readonly hours?: string | null
}

const DAY_MS = 86_400_000

/** Formatters are slow to make; there are as many as languages times calendars. */
const formatters = new Map<string, Intl.DateTimeFormat>()

function formatterOf({ language, calendar }: DayStyle): Intl.DateTimeFormat {
  // Always Latin digits: people type them back.
  const locale = `${language}-u-ca-${calendar}-nu-latn`
  const known = formatters.get(locale)
  if (known !== undefined) return known
  const made = new Intl.DateTimeFormat(locale, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    timeZone: 'UTC',
  })
  formatters.set(locale, made)
  return made
}

/** Without bidi marks, with ordinary spaces, and without the stop of an abbreviation, which ends no sentence. */
function plain(text: string): string {
  return text
    .replace(/[\u200E\u200F\u061C\u2066-\u2069]/gu, '')
    .replace(/[\u00A0\u202F]/gu, ' ')
    .replace(/\.$/u, '')
}

/** Whether Latin letters would push a text into UCS-2 ("août"). */
function isCostly(text: string): boolean {
  return /\p{Script=Latin}/u.test(text) && measure(text).alphabet === 'ucs2'
}

/** Day, month and year in digits: 15/08/2026. */
function inDigits(day: Day, calendar: string): string {
  const { year, month, dayOfMonth } = dateInCalendar(day, calendar)
  return [dayOfMonth, month, year].map((part) => String(part).padStart(2, '0')).join('/')
}

/**
 * A day as people say it: short weekday, day and month in the district's calendar. A month whose name would turn a
 * text into UCS-2 is written in digits, with the year.
 * @example sayDay(mustParseDay('2026-11-24'), { language: 'en', calendar: 'gregory' }) // 'Tue 24 Nov'
 */
export function sayDay(day: Day, style: DayStyle): string {
  const parts = new Map(
    formatterOf(style)
      .formatToParts(day * DAY_MS)
      .map(({ type, value }) => [type, plain(value)]),
  )
  const weekday = parts.get('weekday') ?? ''
  const month = parts.get('month') ?? ''
  const date = `${parts.get('day') ?? ''} ${month}`
  const dated = style.withYear === true ? `${date} ${parts.get('year') ?? ''}` : date
  return [
    isCostly(weekday) ? dropAccents(weekday) : weekday,
    isCostly(month) ? inDigits(day, style.calendar) : dated,
    ...(style.hours == null ? [] : [style.hours]),
  ].join(' ')
}
