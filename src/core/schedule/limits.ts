import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { GivenDose, Limit } from './forecast-types.ts'
import { ageOn } from './history.ts'
import type { Course, History } from './history.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { DoseRule, Interval, Vaccine } from './schedule.ts'

const ONE_DAY: Length = { months: 0, days: 1, text: '1 day' }

/** The first day of an age. */
export function ageLimit(history: History, age: Length): Limit {
  return { on: ageOn(history, age), add: age, since: 'birth' }
}

/** The last day before an age. */
export function lastDayBefore(history: History, age: Length): Limit {
  return { on: addDays(ageOn(history, age), -1), add: age, since: 'birth' }
}

/** The first day a length after a given dose. */
export function doseLimit(history: History, dose: GivenDose, add: Length): Limit {
  return { on: later(dose.on, add, history.schedule.monthEnd), add, since: dose }
}

/** The given dose an interval is counted from, if it has been given. */
export function counterOf(history: History, course: Course, { since }: Interval): GivenDose | null {
  if (since === 'previous') return course.last
  return history.courses[since.series]?.taken[since.dose - 1] ?? null
}

/** Whether an interval holds between these two vaccines. */
export function isBetween({ bothIn }: Interval, one: string, other: string): boolean {
  return bothIn === null || (bothIn.includes(one) && bothIn.includes(other))
}

/** Whether an interval is counted from a dose of another series which has not been given yet. */
export function isWaiting(history: History, course: Course, interval: Interval): boolean {
  const { since } = interval
  if (since === 'previous' || since.series === course.series.index) return false
  return history.courses[since.series]?.isForChild === true && counterOf(history, course, interval) === null
}

/** The day after the latest dose of the series: a series never has two doses on one day. */
export function nextDayLimit({ lastInside }: Course): Limit | null {
  return lastInside === null ? null : { on: addDays(lastInside.on, 1), add: ONE_DAY, since: lastInside }
}

/**
 * The end of the time for which a live vaccine keeps away from the live vaccines given before a day.
 * Doses of the series itself are left to its own intervals.
 */
export function liveLimit(history: History, course: Course, vaccine: Vaccine, before: Day): Limit | null {
  const spacing = history.schedule.liveSpacing
  if (spacing === null || !vaccine.isSpaced) return null
  const other = history.live.findLast(
    (dose) => dose.on < before && !course.series.vaccines.includes(dose.vaccine),
  )
  return other === undefined ? null : doseLimit(history, other, spacing)
}

/** The day from which a dose is late, never before it is due; `null` = never. */
export function overdueLimit(history: History, course: Course, rule: DoseRule, due: Limit): Limit | null {
  const late = lateness(history, course, rule, due)
  return late === null || late.on >= due.on ? late : due
}

function lateness(history: History, course: Course, { overdue }: DoseRule, due: Limit): Limit | null {
  if (overdue === null) return null
  switch (overdue.kind) {
    case 'age':
      return ageLimit(history, overdue.length)
    case 'due':
      return {
        on: later(due.on, overdue.length, history.schedule.monthEnd),
        add: overdue.length,
        since: 'due',
      }
    case 'previous':
      return course.last === null ? null : doseLimit(history, course.last, overdue.length)
  }
}

/** The later of two limits; the first where they fall on one day. */
export function laterLimit(one: Limit, other: Limit | null): Limit {
  return other !== null && other.on > one.on ? other : one
}
