import type { JudgedDose, Limit, UncountedReason, Verdict } from './forecast-types.ts'
import { addDays } from '../days/day.ts'
import { isOver } from './history.ts'
import type { Course, History } from './history.ts'
import { isOfSeries, latestLimit, limitFrom, startOf } from './limits.ts'
import { chooseRules, outsideBecause, restartIfLapsed } from './rules-in-force.ts'
import type { DoseRule, Series, Vaccine } from './schedule.ts'

/** A dose and what the schedule knows of its vaccine. */
export interface Given {
  readonly dose: JudgedDose
  readonly vaccine: Vaccine
}

interface Objection {
  readonly reason: UncountedReason
  readonly missed: Limit | null
}

/** The verdict on a dose that stands outside the numbering of a series. */
export function unnumbered(series: Series, reason: UncountedReason): Verdict {
  return { series: series.id, dose: null, valid: false, reason, missed: null }
}

/** Judges a dose against everything given before it, and moves the course on. */
export function judge(history: History, course: Course, given: Given): Verdict {
  const { series } = course
  const { dose } = given
  if (!course.isForChild) return unnumbered(series, 'not-counted')
  if (outsideBecause(history, series, dose) !== null) {
    spaceRepeatFrom(history, course, dose)
    return unnumbered(series, 'not-counted')
  }
  if (course.lastInside?.on === dose.on) return unnumbered(series, 'repeat-same-day')
  restartIfLapsed(history, course, dose.on)
  const rule = course.doses[course.taken.length]
  if (rule === undefined) return unnumbered(series, 'surplus')

  course.lastInside = dose
  const objection = objectionTo(history, course, rule, given)
  if (objection !== null) {
    spaceRepeatFrom(history, course, dose)
    return {
      series: series.id,
      dose: rule.number,
      valid: false,
      reason: objection.reason,
      missed: objection.missed,
    }
  }
  course.taken.push(dose)
  course.last = dose
  chooseRules(history, course)
  return { series: series.id, dose: rule.number, valid: true, reason: null, missed: null }
}

/** After a dose that does not count, the repeat is spaced from it unless the schedule says otherwise. */
function spaceRepeatFrom(history: History, course: Course, dose: JudgedDose): void {
  if (history.schedule.repeatFrom === 'any-dose') course.last = dose
}

/** The first rule that a dose breaks: its last day, its waits as written (age first), then live spacing. */
function objectionTo(history: History, course: Course, rule: DoseRule, given: Given): Objection | null {
  if (history.schedule.accepts === 'every-dose') return null
  return (
    lateObjection(history, rule, given) ??
    earlyObjection(history, course, rule, given) ??
    liveObjection(history, course, given)
  )
}

function lateObjection(history: History, rule: DoseRule, { dose }: Given): Objection | null {
  if (rule.before === null || !isOver(history, 'birth', rule.before, dose.on)) return null
  return { reason: 'too-old', missed: latestLimit(history, rule) }
}

/** Grace forgives a dose given some days early, unless the wait allows none. */
function earlyObjection(history: History, course: Course, rule: DoseRule, { dose }: Given): Objection | null {
  for (const wait of rule.waits) {
    const start = startOf(history, course, wait, dose.vaccine)
    if (start === null) continue
    if (start === 'not-given') return { reason: 'too-soon', missed: null }
    const grace = wait.takesGrace ? history.schedule.graceDays : 0
    if (isOver(history, start, wait.minimum, addDays(dose.on, grace))) continue
    return {
      reason: start === 'birth' ? 'too-young' : 'too-soon',
      missed: limitFrom(history, start, wait.minimum),
    }
  }
  return null
}

function liveObjection(history: History, course: Course, { dose, vaccine }: Given): Objection | null {
  const spacing = history.schedule.liveSpacing
  if (spacing === null || !vaccine.isSpaced) return null
  for (const other of history.live) {
    if (other.on === dose.on || isOfSeries(course, other)) continue
    const grace = liveGrace(history, vaccine, other)
    if (!isOver(history, other, spacing, addDays(dose.on, grace)))
      return { reason: 'live-conflict', missed: limitFrom(history, other, spacing) }
  }
  return null
}

/** Different live vaccines get no grace; those of one family, which share a series (MMR and MMRV), do. */
function liveGrace({ schedule }: History, vaccine: Vaccine, other: JudgedDose): number {
  const family = schedule.vaccines.get(other.vaccine)?.countsIn ?? []
  return family.some((series) => vaccine.countsIn.includes(series)) ? schedule.graceDays : 0
}
