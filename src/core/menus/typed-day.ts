import type { Day } from '../days/day.ts'
import { dateInCalendar } from '../reading/calendar-date.ts'
import { readDigits } from '../reading/typed-date.ts'
import type { DateHabits, DayReading } from '../reading/typed-date.ts'

/**
 * Reads a day typed on a number pad: 2311, 231126, 23112026, in the district's order and calendar; 20261123 as well,
 * and anything with separators that a text may hold. `undefined` where it is no date.
 */
export function readTypedDay(typed: string, habits: DateHabits): DayReading | undefined {
  const digits = typed.replace(/[\s*]+/g, '/')
  const plain = /^(\d\d)(\d\d)(\d\d|\d{4})?$/.exec(digits)
  if (plain === null) return readDigits(digits, habits)
  const day = readDigits(plain.slice(1).filter(isText).join('/'), habits)
  const isYearFirst = digits.length === 8 && day === 'date-impossible'
  return isYearFirst ? readDigits(yearFirst(digits), habits) : day
}

const isText = (text: string | undefined): text is string => text !== undefined

function yearFirst(digits: string): string {
  return `${digits.slice(0, 4)}-${digits.slice(4, 6)}-${digits.slice(6)}`
}

/** A day as `readTypedDay` reads it, to show how: 2311, or 23112026 with its year. */
export function writeTypedDay(
  day: Day,
  { calendar, isDayFirst }: Pick<DateHabits, 'calendar' | 'isDayFirst'>,
  style: { readonly withYear: boolean },
): string {
  const date = dateInCalendar(day, calendar)
  const [dayOfMonth, month] = [date.dayOfMonth, date.month].map((part) => String(part).padStart(2, '0'))
  const parts = isDayFirst ? [dayOfMonth, month] : [month, dayOfMonth]
  return [...parts, ...(style.withYear ? [String(date.year)] : [])].join('')
}
