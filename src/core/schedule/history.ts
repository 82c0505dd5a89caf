import { addDays, civilDate, monthsAfter } from '../days/day.ts'
import type { CivilDate, Day } from '../days/day.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { ChildFacts, GivenDose } from './forecast-types.ts'
import type { Condition, DoseRule, Facts, Schedule, Series } from './schedule.ts'

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
  /** The birth day's calendar date, from which all ages are reckoned. */
  readonly birth: CivilDate
  /** One per series of the schedule, in the same order. */
  readonly courses: readonly Course[]
  /** Doses that other live vaccines must keep apart from. */
  readonly live: GivenDose[]
}

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

/** The day on which the child reaches an age. */
export function ageOn(history: History, age: Length): Day {
  const { child, birth, schedule } = history
  const moved = age.months === 0 ? child.birthOn : monthsAfter(birth, age.months, schedule.monthEnd)
  return addDays(moved, age.days)
}

/** Whether a day lies at or past an age, the grace included. */
function hasReached(history: History, on: Day, age: Length): boolean {
  return on >= ageOn(history, age) - history.schedule.graceDays
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

/** Why a dose stands outside the numbering of a series; `null` when it stands inside. */
export function outsideBecause(history: History, { outside }: Series, dose: GivenDose): string | null {
  for (const { facts, vaccines, from, before, why } of outside) {
    if (!meets(facts, history.child)) continue
    if (vaccines !== null && !vaccines.includes(dose.vaccine)) continue
    if (from !== null && !hasReached(history, dose.on, from)) continue
    if (before === null || !hasReached(history, dose.on, before)) return why
  }
  return null
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

function holds(history: History, { taken }: Course, condition: Condition): boolean {
  const { facts, products, dose, from, before, gap } = condition
  if (!meets(facts, history.child)) return false
  if (products !== null && !isAllOf(taken, products)) return false
  if (dose === null) return true
  const asked = taken[dose - 1]
  if (asked === undefined) return false
  if (from !== null && !hasReached(history, asked.on, from)) return false
  if (before !== null && hasReached(history, asked.on, before)) return false
  return gap === null || hasGap(history, taken[dose - 2], asked, gap)
}

function isAllOf(taken: readonly GivenDose[], products: readonly string[]): boolean {
  return taken.length > 0 && taken.every(({ vaccine }) => products.includes(vaccine))
}

function hasGap(history: History, first: GivenDose | undefined, second: GivenDose, gap: Length): boolean {
  return first !== undefined && second.on >= later(first.on, gap, history.schedule.monthEnd)
}
