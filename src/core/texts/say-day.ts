import type { Day } from '../days/day.ts'
import { measure } from './segments.ts'
import { dropAccents } from './tidy.ts'

/** How a day is put into words. */
export interface DayStyle {
  readonly language: string
  /** A CLDR calendar: gregory, ethiopic, islamic-umalqura, persian, buddhist. */
  readonly calendar: string
  /** Adds the year; for birth dates and old doses. */
  readonly withYear?: boolean
  /** Opening hours to put behind the day: "09:00-13:00". */
  readonly hours?: string
}

const DAY_MS = 86_400_000

/** Formatters are slow to make; there are as many as languages times calendars. */
const formatters = new Map<string, Intl.DateTimeFormat>()

function formatterOf(style: DayStyle, month: 'short' | '2-digit'): Intl.DateTimeFormat {
  // Always Latin digits: people type them back.
  const locale = `${style.language}-u-ca-${style.calendar}-nu-latn`
  const known = formatters.get(`${locale} ${month}`)
  if (known !== undefined) return known
  const day = month === 'short' ? 'numeric' : '2-digit'
  const made = new Intl.DateTimeFormat(locale, {
    weekday: 'short',
    day,
    month,
    year: 'numeric',
    timeZone: 'UTC',
  })
  formatters.set(`${locale} ${month}`, made)
  return made
}

function partsOf(day: Day, style: DayStyle, month: 'short' | '2-digit'): ReadonlyMap<string, string> {
  const parts = formatterOf(style, month).formatToParts(day * DAY_MS)
  return new Map(parts.map(({ type, value }) => [type, plain(value)]))
}

/** Without bidi marks and with ordinary spaces. */
function plain(text: string): string {
  return text.replace(/[\u200E\u200F\u061C\u2066-\u2069]/gu, '').replace(/[\u00A0\u202F]/gu, ' ')
}

/** Whether Latin letters would push a text into UCS-2 ("août"). */
function isCostly(text: string): boolean {
  return /\p{Script=Latin}/u.test(text) && measure(text).alphabet === 'ucs2'
}

/**
 * A day as people say it: short weekday, day and month in the district's calendar. A month whose name would turn a
 * text into UCS-2 is written in digits.
 * @example sayDay(mustParseDay('2026-11-24'), { language: 'en', calendar: 'gregory' }) // 'Tue 24 Nov'
 */
export function sayDay(day: Day, style: DayStyle): string {
  const parts = partsOf(day, style, 'short')
  const weekday = parts.get('weekday') ?? ''
  const month = parts.get('month') ?? ''
  const words = [
    isCostly(weekday) ? dropAccents(weekday) : weekday,
    isCostly(month) ? inDigits(day, style) : `${parts.get('day') ?? ''} ${month}`,
    style.withYear === true && !isCostly(month) ? parts.get('year') : undefined,
    style.hours,
  ]
  return words.filter((word) => word !== undefined).join(' ')
}

/** Day, month and year in digits: 15/08/2026. */
function inDigits(day: Day, style: DayStyle): string {
  const parts = partsOf(day, style, '2-digit')
  return ['day', 'month', 'year'].map((part) => parts.get(part) ?? '').join('/')
}
