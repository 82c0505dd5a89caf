import { DateTime } from 'luxon'
import { addDays, addMonths, parseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'

/** Search by date (R4 §3.1.1.4.6): a prefix and a date of any precision, several of which all have to hold. */

/** From the first, up to but not including the second; `null` where open. */
export interface Range<T> {
  readonly from: T | null
  readonly before: T | null
}

/** What is not a date to search by. */
export interface BadDate {
  readonly kind: 'bad-date'
  readonly value: string
}

const PREFIXED = /^(eq|gt|lt|ge|le|sa|eb)?(\d{4}.*)$/

/** @example rangeOfDays(['ge2026-01', 'lt2026-03-15']) */
export function rangeOfDays(values: readonly string[]): Range<Day> | BadDate {
  return intersection(values, unitOfDays)
}

/** Instants without a zone are read as UTC. */
export function rangeOfInstants(values: readonly string[]): Range<Date> | BadDate {
  return intersection(values, unitOfInstants)
}

/** The stretch of time that a date of some precision covers. */
interface Unit<T> {
  readonly start: T
  readonly end: T
}

function intersection<T extends number | Date>(
  values: readonly string[],
  unitOf: (text: string) => Unit<T> | undefined,
): Range<T> | BadDate {
  let range: Range<T> = { from: null, before: null }
  for (const value of values) {
    const [, prefix = 'eq', date = ''] = PREFIXED.exec(value) ?? []
    const unit = unitOf(date)
    if (unit === undefined) return { kind: 'bad-date', value }
    const next = limits(prefix, unit)
    range = { from: later(range.from, next.from), before: earlier(range.before, next.before) }
  }
  return range
}

function limits<T>(prefix: string, { start, end }: Unit<T>): Range<T> {
  switch (prefix) {
    case 'gt':
    case 'sa':
      return { from: end, before: null }
    case 'ge':
      return { from: start, before: null }
    case 'lt':
    case 'eb':
      return { from: null, before: start }
    case 'le':
      return { from: null, before: end }
    default:
      return { from: start, before: end }
  }
}

function later<T extends number | Date>(one: T | null, other: T | null): T | null {
  if (one === null || other === null) return one ?? other
  return one > other ? one : other
}

function earlier<T extends number | Date>(one: T | null, other: T | null): T | null {
  if (one === null || other === null) return one ?? other
  return one < other ? one : other
}

const DAY = /^(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?$/

function unitOfDays(text: string): Unit<Day> | undefined {
  const [, year, month, day] = DAY.exec(text) ?? []
  const start = parseDay(`${year ?? ''}-${month ?? '01'}-${day ?? '01'}`)
  if (start === undefined) return undefined
  if (day !== undefined) return { start, end: addDays(start, 1) }
  return { start, end: addMonths(start, month === undefined ? 12 : 1) }
}

function unitOfInstants(text: string): Unit<Date> | undefined {
  // A plus sign that was not encoded arrives as a space.
  const start = DateTime.fromISO(text.replace(' ', '+'), { zone: 'utc' })
  if (!start.isValid) return undefined
  return { start: start.toJSDate(), end: start.plus(precisionOf(text)).toJSDate() }
}

function precisionOf(text: string) {
  if (text.length <= 4) return { years: 1 }
  if (text.length <= 7) return { months: 1 }
  if (text.length <= 10) return { days: 1 }
  if (text.includes('.')) return { milliseconds: 1 }
  return /T\d{2}:\d{2}:\d{2}/.test(text) ? { seconds: 1 } : { minutes: 1 }
}
