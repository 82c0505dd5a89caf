import type { Day } from '../days/day.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { ChildFacts, GivenDose } from './forecast-types.ts'
import type { ConditionFile, Facts } from './schedule-file.ts'
import type { DoseRule, Schedule, Series } from './schedule.ts'

/** A child's way through one series, dose by dose. */
export interface Course {
  readonly series: Series
  /** `false`: the series is not for this child (HPV for boys, where a schedule says so). */
  readonly isForChild: boolean
  /** The rules now in force; they may change with the doses taken. */
  doses: readonly DoseRule[]
  /** Doses that count: dose 1 first. */
  taken: GivenDose[]
  /** The dose from which `previous` intervals run: see `Schedule.repeatFrom`. */
  last: GivenDose | null
  /** The latest dose inside the numbering, counted or not. */
  lastInside: GivenDose | null
}

/** Everything given so far, read in the order of days. */
export interface History {
  readonly schedule: Schedule
  readonly child: ChildFacts
  /** One per series of the schedule, in the same order. */
  readonly courses: readonly Course[]
  /** Doses that other live vaccines must keep apart from. */
  readonly live: GivenDose[]
}

export function openHistory(schedule: Schedule, child: ChildFacts): History {
  const courses = schedule.series.map((series) => openCourse(series, child))
  const history: History = { schedule, child, courses, live: [] }
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
  return meets(child.sex === undefined ? { ...facts, sex: undefined } : facts, child)
}

/** The day on which the child reaches an age. */
export function ageOn(history: History, age: Length): Day {
  return later(history.child.birthOn, age, history.schedule.monthEnd)
}

/** Whether a day lies at or past an age, the grace included. */
function hasReached(history: History, on: Day, age: Length): boolean {
  return on >= ageOn(history, age) - history.schedule.graceDays
}

function meets(facts: Facts, child: ChildFacts): boolean {
  const weight = child.birthWeightGrams
  if (facts.sex !== undefined && facts.sex !== child.sex) return false
  if (facts.flag !== undefined && child.flags?.includes(facts.flag) !== true) return false
  if (facts.birthWeightBelow !== undefined && !(weight !== undefined && weight < facts.birthWeightBelow))
    return false
  return facts.birthWeightFrom === undefined || (weight !== undefined && weight >= facts.birthWeightFrom)
}

/** The reason why a dose stands outside the numbering of a series, `null` when it stands inside. */
export function outsideBecause(history: History, series: Series, dose: GivenDose): string | null {
  const rule = series.outside.find(
    (one) =>
      meets(one, history.child) &&
      (one.vaccines === undefined || one.vaccines.includes(dose.vaccine)) &&
      (one.from === undefined || hasReached(history, dose.on, one.from)) &&
      (one.before === undefined || !hasReached(history, dose.on, one.before)),
  )
  return rule?.why ?? null
}

/** Puts the rules in force that the doses taken so far lead to. */
export function chooseRules(history: History, course: Course): void {
  const variant = course.series.variants.find(({ when }) => when.every((one) => holds(history, course, one)))
  course.doses = variant?.doses ?? course.series.doses
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

function holds(history: History, course: Course, condition: ConditionFile): boolean {
  if (!meets(condition, history.child)) return false
  const { dose, from, before, gap, products } = condition
  if (products !== undefined && !isAllOf(course.taken, products)) return false
  if (dose === undefined) return true
  const taken = course.taken[dose - 1]
  if (taken === undefined) return false
  if (from !== undefined && !hasReached(history, taken.on, from)) return false
  if (before !== undefined && hasReached(history, taken.on, before)) return false
  return gap === undefined || hasGap(history, course.taken[dose - 2], taken, gap)
}

function isAllOf(taken: readonly GivenDose[], products: readonly string[]): boolean {
  return taken.length > 0 && taken.every(({ vaccine }) => products.includes(vaccine))
}

function hasGap(history: History, first: GivenDose | undefined, second: GivenDose, gap: Length): boolean {
  return first !== undefined && second.on >= later(first.on, gap, history.schedule.monthEnd)
}
