import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { GivenDose, Limit } from './forecast-types.ts'
import { ageOn } from './history.ts'
import type { Course, History } from './history.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { DoseRule, Vaccine, Wait } from './schedule.ts'

const ONE_DAY: Length = { months: 0, days: 1, text: '1 day' }

/** The first day of an age. */
function ageLimit(history: History, age: Length): Limit {
  return { on: ageOn(history, age), add: age, since: 'birth' }
}

/** The last day on which a dose may be given; `null` = it is never too late. */
export function latestLimit(history: History, { before }: DoseRule): Limit | null {
  return before === null ? null : { on: addDays(ageOn(history, before), -1), add: before, since: 'birth' }
}

/** The first day a length after a given dose. */
function doseLimit(history: History, dose: GivenDose, add: Length): Limit {
  return { on: later(dose.on, add, history.schedule.monthEnd), add, since: dose }
}

/**
 * The end of a wait for a dose of a vaccine, after the shortest or the usual length; `null` when the wait
 * does not concern this dose.
 */
export function waitLimit(
  history: History,
  course: Course,
  wait: Wait,
  { vaccine, length }: { vaccine: string; length: 'minimum' | 'usual' },
): Limit | null {
  if (wait.since === 'birth') return ageLimit(history, wait[length])
  const dose = counterOf(history, course, wait.since)
  if (dose === null) return null
  const { bothIn } = wait
  const concerns = bothIn === null || (bothIn.includes(dose.vaccine) && bothIn.includes(vaccine))
  return concerns ? doseLimit(history, dose, wait[length]) : null
}

/** The given dose a wait is counted from, if it has been given. */
function counterOf(
  history: History,
  course: Course,
  since: Exclude<Wait['since'], 'birth'>,
): GivenDose | null {
  if (since === 'previous') return course.last
  return history.courses[since.series]?.taken[since.dose - 1] ?? null
}

/** Whether a wait is counted from a dose of another series which has not been given yet. */
export function hasNotBegun(history: History, course: Course, { since }: Wait): boolean {
  if (since === 'birth' || since === 'previous' || since.series === course.series.index) return false
  return history.courses[since.series]?.isForChild === true && counterOf(history, course, since) === null
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

/** The later of two limits, the first where they fall on one day; an absent limit is earlier than any. */
export function laterLimit(one: Limit, other: Limit | null): Limit
export function laterLimit(one: Limit | null, other: Limit | null): Limit | null
export function laterLimit(one: Limit | null, other: Limit | null): Limit | null {
  if (one === null) return other
  return other !== null && other.on > one.on ? other : one
}
