import { addDays, monthsAfter } from '../days/day.ts'
import type { CivilDate, Day } from '../days/day.ts'
import type { ChildFacts, JudgedDose } from './forecast-types.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { DoseRule, Schedule, Series } from './schedule.ts'

/** A child's way through one series, dose by dose. */
export interface Course {
  readonly series: Series
  /** `false`: the series is not for this child (HPV for boys, where a schedule says so). */
  readonly isForChild: boolean
  /** The rules now in force; they may change with the doses taken. */
  doses: readonly DoseRule[]
  /** Doses that count: dose 1 first. */
  taken: JudgedDose[]
  /** The dose from which `previous` intervals run: see `Schedule.repeatFrom`. */
  last: JudgedDose | null
  /** The latest dose inside the numbering, counted or not. */
  lastInside: JudgedDose | null
}

/** Everything given so far, read in the order of days. */
export interface History {
  readonly schedule: Schedule
  readonly child: ChildFacts
  /** The birth day's calendar date, from which all ages are reckoned. */
  readonly birth: CivilDate
  /** One per series of the schedule, in the same order. */
  readonly courses: readonly Course[]
  /** Doses that other live vaccines must keep apart from. */
  readonly live: JudgedDose[]
}

/** The course of a series that the schedule is known to have. */
export function courseOf(history: History, series: number): Course {
  const course = history.courses[series]
  if (course === undefined) throw new RangeError(`the schedule has no series number ${series}`)
  return course
}

/** The day on which the child reaches an age. */
export function ageOn({ child, birth, schedule }: History, age: Length): Day {
  const moved = age.months === 0 ? child.birthOn : monthsAfter(birth, age.months, schedule.monthEnd)
  return addDays(moved, age.days)
}

/** What a time is counted from. */
export type Start = JudgedDose | 'birth'

/** The day a length after a start. */
export function endOf(history: History, start: Start, length: Length): Day {
  return start === 'birth' ? ageOn(history, length) : later(start.on, length, history.schedule.monthEnd)
}

/** Whether a length is over on a day. A month has 28 to 31 days: most days are told apart without the calendar. */
export function isOver(history: History, start: Start, length: Length, on: Day): boolean {
  const elapsed = on - (start === 'birth' ? history.child.birthOn : start.on)
  if (elapsed < length.months * 28 + length.days) return false
  return elapsed >= length.months * 31 + length.days || on >= endOf(history, start, length)
}

/** Whether a day lies at or past an age, the grace included. */
export function hasReached(history: History, on: Day, age: Length): boolean {
  return isOver(history, 'birth', age, addDays(on, history.schedule.graceDays))
}
