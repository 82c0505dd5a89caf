import type { Day } from '../days/day.ts'
import type { ChildFacts, Limit, NextDose, NextDoseStatus } from './forecast-types.ts'
import type { Course, History } from './history.ts'
import {
  laterLimit,
  latestLimit,
  limitFrom,
  liveLimit,
  nextDayLimit,
  overdueLimit,
  startOf,
} from './limits.ts'
import { restartIfLapsed } from './rules-in-force.ts'
import type { DoseRule } from './schedule.ts'

/**
 * The next dose of a course as of a day; `null` when the series is finished or waits for another.
 * Its dates come from the limits that doses are judged by, so a dose given on its due day always counts.
 */
export function nextDose(history: History, course: Course, asOf: Day): NextDose | null {
  if (!course.isForChild) return null
  restartIfLapsed(history, course, asOf)
  const rule = course.doses[course.taken.length]
  if (rule === undefined) return null
  const first = earliestLimit(history, course, rule)
  if (first === null) return null

  const putOff = putOffLimit(history.child, rule.give.code)
  const earliest = laterLimit(first, putOff)
  const latest = latestLimit(history, rule)
  const due = laterLimit(dueLimit(history, course, rule, { earliest, latest }), putOff)
  const late = overdueLimit(history, course, rule, due)
  // A dose that can no longer be given is closed, not late.
  const overdue = late !== null && latest !== null && late.on > latest.on ? null : late
  const limits = { earliest, due, overdue, latest }
  return {
    series: course.series.id,
    dose: rule.number,
    vaccine: rule.give.code,
    earliest: earliest.on,
    due: due.on,
    overdue: overdue?.on ?? null,
    latest: latest?.on ?? null,
    status: statusOn(asOf, limits),
    limits,
  }
}

const NO_LENGTH: Limit['add'] = { months: 0, days: 0, text: '' }

/** The day until which a clinician put a vaccine off. */
function putOffLimit({ putOff }: ChildFacts, vaccine: string): Limit | null {
  const own = putOff?.find((one) => one.vaccine === vaccine)
  return own === undefined ? null : { on: own.until, add: NO_LENGTH, since: 'clinician' }
}

/** The first day on which the dose would count: every wait over, clear of live vaccines. `null` = not begun. */
function earliestLimit(history: History, course: Course, rule: DoseRule): Limit | null {
  let earliest = nextDayLimit(course)
  for (const wait of rule.waits) {
    const start = startOf(history, course, wait, rule.give.code)
    if (start === 'not-given') return null
    if (start !== null) earliest = laterLimit(earliest, limitFrom(history, start, wait.minimum))
  }
  return laterLimit(earliest, liveLimit(history, course, rule.give))
}

/** The day the dose is asked for: every usual wait over, never early, and while it may still be given. */
function dueLimit(
  history: History,
  course: Course,
  rule: DoseRule,
  { earliest, latest }: { earliest: Limit; latest: Limit | null },
): Limit {
  let due = earliest
  for (const wait of rule.waits) {
    if (wait.usual === wait.minimum) continue
    const start = startOf(history, course, wait, rule.give.code)
    if (start !== null && start !== 'not-given') due = laterLimit(due, limitFrom(history, start, wait.usual))
  }
  return latest !== null && due.on > latest.on ? laterLimit(earliest, latest) : due
}

function statusOn(asOf: Day, { earliest, due, overdue, latest }: NextDose['limits']): NextDoseStatus {
  if (latest !== null && (asOf > latest.on || earliest.on > latest.on)) return 'closed'
  if (asOf < due.on) return 'not-yet'
  return overdue !== null && asOf >= overdue.on ? 'overdue' : 'due'
}
