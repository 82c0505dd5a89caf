import { addDays, civilDate } from '../days/day.ts'
import type { CivilDate, Day } from '../days/day.ts'
import { dateInCalendar, dayInCalendar } from './calendar-date.ts'

/** How a date is to be taken: a district's habits, and whether the day lies behind or ahead. */
export interface DateHabits {
  readonly on: Day
  readonly calendar: string
  /** True where 3/4 means the third of April. */
  readonly isDayFirst: boolean
  readonly direction: 'past' | 'coming'
}

/** A date as typed, its year perhaps short or left out. */
export interface TypedDate {
  readonly year?: number
  readonly month: number
  readonly dayOfMonth: number
}

/** A day, or why there is none. */
export type DayReading = Day | 'date-impossible' | 'date-future'

/** A year-less day this close ahead is meant to be ahead, and not almost a year ago. */
const SOON_DAYS = 60

/** The groups of a number that has the shape of a date: 23/11, 23-11-2026, 2026.11.23; else `undefined`. */
function dateGroups(text: string): readonly number[] | undefined {
  if (!/^\d{1,4}(?:[-./]\d{1,4}){1,2}$/.test(text)) return undefined
  const groups = text.split(/[-./]/)
  const hasYear = groups.length === 3
  const lengths = groups.map((group) => group.length)
  const isDate = hasYear
    ? /^(?:4,[12],[12]|[12],[12],[24])$/.test(lengths.join())
    : lengths.every((length) => length <= 2)
  return isDate ? groups.map(Number) : undefined
}

/** A date in digits: year first where it has four digits, else day and month as the district writes them. */
function typedDate(groups: readonly number[], isDayFirst: boolean): TypedDate {
  const [first = 0, second = 0, third] = groups
  if (first > 31 && third !== undefined) return { year: first, month: second, dayOfMonth: third }
  const [dayOfMonth, month] = isDayFirst ? [first, second] : [second, first]
  return third === undefined ? { month, dayOfMonth } : { year: third, month, dayOfMonth }
}

/** A year typed with two digits, in the century that puts it nearest to now; any other as it is. */
export function fullYear(year: number, thisYear: number): number {
  if (year >= 100) return year
  const inCentury = Math.floor(thisYear / 100) * 100 + year
  return inCentury > thisYear + 50 ? inCentury - 100 : inCentury
}

/** The day of a date in one calendar; a missing year is the one that puts the day nearest on the right side. */
function dayIn(calendar: string, typed: TypedDate, { on, direction }: DateHabits): Day | undefined {
  const thisYear = dateInCalendar(on, calendar).year
  if (typed.year !== undefined) {
    const date: CivilDate = { ...typed, year: fullYear(typed.year, thisYear) }
    return dayInCalendar(date, calendar)
  }
  const [before, current, after] = [-1, 0, 1].map((step) =>
    dayInCalendar({ ...typed, year: thisYear + step }, calendar),
  )
  const days = [before, current, after].filter((day) => day !== undefined)
  const ahead = days.find((day) => day >= on)
  const behind = days.findLast((day) => day <= on)
  return direction === 'coming' ? (ahead ?? behind) : (behind ?? ahead)
}

const isStrictIso = (text: string): boolean => /^\d{4}-\d\d-\d\d$/.test(text)

/**
 * The day of a date in digits. `YYYY-MM-DD` is always Gregorian (ISO 8601); anything else is of the district's
 * calendar, or Gregorian where its year has no sense there.
 */
export function readDigits(text: string, habits: DateHabits): DayReading | undefined {
  const groups = dateGroups(text)
  if (groups === undefined) return undefined
  return resolveDate(typedDate(groups, habits.isDayFirst), {
    ...habits,
    calendar: isStrictIso(text) ? 'gregory' : habits.calendar,
  })
}

/** The day of a date; a day on the wrong side of today is told apart from one that does not exist. */
export function resolveDate(typed: TypedDate, habits: DateHabits): DayReading {
  const { on, direction, calendar } = habits
  const isOff = (day: Day): boolean => direction === 'past' && day > on
  const day = dayIn(calendar, typed, habits)
  if (day !== undefined && !isOff(day)) return isMeantAhead(typed, habits) ? 'date-future' : day
  const gregorian = isForeignYear(typed, habits) ? dayIn('gregory', typed, habits) : undefined
  if (gregorian !== undefined && !isOff(gregorian)) return gregorian
  return day === undefined ? 'date-impossible' : 'date-future'
}

/** Whether a year is of no use in the district's calendar: still to come, or long ago. */
function isForeignYear({ year }: TypedDate, { calendar, on }: DateHabits): boolean {
  if (calendar === 'gregory' || year === undefined) return false
  const thisYear = dateInCalendar(on, calendar).year
  return year >= 100 && (year > thisYear || year < thisYear - 100)
}

/** Whether a year-less date is a few weeks ahead while its last return was most of a year ago. */
function isMeantAhead(typed: TypedDate, habits: DateHabits): boolean {
  if (typed.year !== undefined || habits.direction === 'coming') return false
  const ahead = dayIn(habits.calendar, typed, { ...habits, direction: 'coming' })
  return ahead !== undefined && ahead > habits.on && ahead <= addDays(habits.on, SOON_DAYS)
}

/** The day of eight digits without separators: 20261123 or 23112026, Gregorian, of a year near now. */
export function readEightDigits(digits: string, habits: DateHabits): Day | undefined {
  if (!/^\d{8}$/.test(digits)) return undefined
  const { year } = civilDate(habits.on)
  const isNear = (text: string): boolean => Number(text) > year - 20 && Number(text) <= year + 1
  const groups = isNear(digits.slice(0, 4))
    ? [digits.slice(0, 4), digits.slice(4, 6), digits.slice(6)]
    : [digits.slice(0, 2), digits.slice(2, 4), digits.slice(4)]
  if (!groups.some((group) => group.length === 4 && isNear(group))) return undefined
  const day = resolveDate(typedDate(groups.map(Number), habits.isDayFirst), habits)
  return typeof day === 'number' ? day : undefined
}
