import { civilDate } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { ChildFacts, JudgedDose } from './forecast-types.ts'
import { hasReached, isOver } from './history.ts'
import type { Course, History } from './history.ts'
import { later } from './length.ts'
import type { Condition, Facts, Schedule, Series, Timing } from './schedule.ts'

/** A child before any dose: a course through every series, under the rules it starts with. */
export function openHistory(schedule: Schedule, child: ChildFacts): History {
  const courses = schedule.series.map((series) => openCourse(series, child))
  const history: History = { schedule, child, birth: civilDate(child.birthOn), courses, live: [] }
  for (const course of courses) chooseRules(history, course)
  return history
}

function openCourse(series: Series, child: ChildFacts): Course {
  const isForChild = isFor(series.onlyFor, child)
  return { series, isForChild, doses: series.doses, taken: [], last: null, lastInside: null }
}

/** A child whose sex is not recorded is not left out. */
function isFor(facts: Facts | null, child: ChildFacts): boolean {
  if (facts === null) return true
  return meets(child.sex === undefined ? { ...facts, sex: null } : facts, child)
}

/** Puts the rules in force that the doses taken so far lead to. */
export function chooseRules(history: History, course: Course): void {
  const { series, taken } = course
  if (series.variants.length === 0) return
  const variant = series.variants.find(({ when }) => when.every((one) => holds(history, taken, one)))
  course.doses = variant?.doses ?? series.doses
}

/** Starts a series again whose doses lie too far apart (only where the schedule says so). */
export function restartIfLapsed(history: History, course: Course, on: Day): void {
  const { restartAfter } = course.series
  const last = course.taken.at(-1)
  if (restartAfter === null || last === undefined || course.taken.length >= course.doses.length) return
  if (on <= later(last.on, restartAfter, history.schedule.monthEnd)) return
  course.taken = []
  chooseRules(history, course)
}

/** Why a dose stands outside the numbering of a series; `null` when it stands inside. */
export function outsideBecause(history: History, { outside }: Series, dose: JudgedDose): string | null {
  for (const { facts, vaccines, from, before, why } of outside) {
    if (!meets(facts, history.child)) continue
    if (vaccines !== null && !vaccines.includes(dose.vaccine)) continue
    if (from !== null && !hasReached(history, dose.on, from)) continue
    if (before === null || !hasReached(history, dose.on, before)) return why
  }
  return null
}

function holds(
  history: History,
  taken: readonly JudgedDose[],
  { timing, facts, products }: Condition,
): boolean {
  if (timing !== null && !isTimed(history, taken, timing)) return false
  return meets(facts, history.child) && (products === null || isAllOf(taken, products))
}

/** Whether a counted dose was given between two ages, and long enough after the one before it. */
function isTimed(
  history: History,
  taken: readonly JudgedDose[],
  { dose, from, before, gap }: Timing,
): boolean {
  const asked = taken[dose - 1]
  if (asked === undefined) return false
  if (from !== null && !hasReached(history, asked.on, from)) return false
  if (before !== null && hasReached(history, asked.on, before)) return false
  if (gap === null) return true
  const earlier = taken[dose - 2]
  return earlier !== undefined && isOver(history, earlier, gap, asked.on)
}

function isAllOf(taken: readonly JudgedDose[], products: readonly string[]): boolean {
  return taken.length > 0 && taken.every(({ vaccine }) => products.includes(vaccine))
}

/** What is not known of a child is not met. */
function meets(facts: Facts | null, { sex, flags, birthWeightGrams }: ChildFacts): boolean {
  if (facts === null) return true
  if (facts.sex !== null && facts.sex !== sex) return false
  if (facts.flag !== null && flags?.includes(facts.flag) !== true) return false
  if (facts.birthWeightBelow !== null && !((birthWeightGrams ?? Infinity) < facts.birthWeightBelow))
    return false
  return facts.birthWeightFrom === null || (birthWeightGrams ?? -Infinity) >= facts.birthWeightFrom
}
