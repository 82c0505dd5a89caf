import { addDays } from '../days/day.ts'
import type { JudgedDose, Limit } from './forecast-types.ts'
import { ageOn, endOf } from './history.ts'
import type { Course, History, Start } from './history.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { DoseRule, Vaccine, Wait } from './schedule.ts'

const ONE_DAY: Length = { months: 0, days: 1, text: '1 day' }

/**
 * What a wait of a dose of a vaccine is counted from: `null` where the wait does not concern this dose,
 * `not-given` where it is counted from a dose of another series which is still to be given.
 */
export function startOf(
  history: History,
  course: Course,
  wait: Wait,
  vaccine: string,
): Start | 'not-given' | null {
  const { since, bothIn } = wait
  if (since === 'birth') return since
  if (since === 'previous') return bothIn === null ? course.last : ifBothIn(bothIn, course.last, vaccine)
  const other = history.courses[since.series]
  const dose = other?.taken[since.dose - 1]
  if (dose !== undefined) return bothIn === null ? dose : ifBothIn(bothIn, dose, vaccine)
  return other?.isForChild === true && other !== course ? 'not-given' : null
}

function ifBothIn(vaccines: readonly string[], dose: JudgedDose | null, vaccine: string): JudgedDose | null {
  return dose !== null && vaccines.includes(dose.vaccine) && vaccines.includes(vaccine) ? dose : null
}

/** The day a length after a start, and how it is reckoned. */
export function limitFrom(history: History, since: Start, add: Length): Limit {
  return { on: endOf(history, since, add), add, since }
}

/** The last day on which a dose may be given; `null` = it is never too late. */
export function latestLimit(history: History, { before }: DoseRule): Limit | null {
  return before === null ? null : { on: addDays(ageOn(history, before), -1), add: before, since: 'birth' }
}

/** The day after the latest dose of the series: a series never has two doses on one day. */
export function nextDayLimit({ lastInside }: Course): Limit | null {
  return lastInside === null ? null : { on: addDays(lastInside.on, 1), add: ONE_DAY, since: lastInside }
}

/** The end of the time for which the live vaccines given so far keep a live vaccine of another series away. */
export function liveLimit(history: History, course: Course, vaccine: Vaccine): Limit | null {
  const spacing = history.schedule.liveSpacing
  if (spacing === null || !vaccine.isSpaced) return null
  const other = history.live.findLast((dose) => !isOfSeries(course, dose))
  return other === undefined ? null : limitFrom(history, other, spacing)
}

/** Doses of one series are spaced by its own intervals. */
export function isOfSeries({ series }: Course, { vaccine }: JudgedDose): boolean {
  return series.vaccines.includes(vaccine)
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
      return limitFrom(history, 'birth', overdue.length)
    case 'due':
      return {
        on: later(due.on, overdue.length, history.schedule.monthEnd),
        add: overdue.length,
        since: 'due',
      }
    case 'previous':
      return course.last === null ? null : limitFrom(history, course.last, overdue.length)
  }
}

/** The later of two limits, the first where they fall on one day; an absent limit is earlier than any. */
export function laterLimit(one: Limit, other: Limit | null): Limit
export function laterLimit(one: Limit | null, other: Limit | null): Limit | null
export function laterLimit(one: Limit | null, other: Limit | null): Limit | null {
  if (one === null) return other
  return other !== null && other.on > one.on ? other : one
}
