import type { Day } from '../days/day.ts'
import type { ChildFacts, Forecast, GivenDose, NextDose, Verdict } from './forecast-types.ts'
import { courseOf } from './history.ts'
import type { Course, History } from './history.ts'
import { judge, unnumbered } from './judge.ts'
import type { Given } from './judge.ts'
import { nextDose } from './next-dose.ts'
import { openHistory } from './rules-in-force.ts'
import type { Schedule } from './schedule.ts'

/**
 * What a child has had, what of it counts, and what comes next, as of a day. Doses may come in any order;
 * nothing recorded makes it fail: what cannot count is said not to count.
 */
export function forecast(schedule: Schedule, child: ChildFacts, asOf: Day): Forecast {
  const history = openHistory(schedule, child)
  const given = child.given.map(unjudged)
  for (const one of inReadingOrder(schedule, given)) one.dose.counts = verdictsOn(history, one, asOf)
  const next: NextDose[] = []
  const complete: string[] = []
  for (const course of history.courses) {
    const row = nextDose(history, course, asOf)
    if (row !== null) next.push(row)
    else if (isComplete(course)) complete.push(course.series.id)
  }
  return { given, next, complete }
}

function isComplete({ isForChild, taken, doses }: Course): boolean {
  return isForChild && taken.length >= doses.length
}

/** A dose on its way to be judged. */
interface Judging extends GivenDose {
  counts: readonly Verdict[]
}

interface Placed extends Given {
  readonly dose: Judging
}

/** A vaccine the schedule does not know stays without a verdict, and changes nothing. */
const NO_VERDICTS: readonly Verdict[] = []

function unjudged({ vaccine, on }: GivenDose): Judging {
  return { vaccine, on, counts: NO_VERDICTS }
}

/** Doses of known vaccines by day; on one day, a dose that others are counted from comes first. */
function inReadingOrder({ vaccines }: Schedule, given: readonly Judging[]): Placed[] {
  const placed: Placed[] = []
  for (const dose of given) {
    const vaccine = vaccines.get(dose.vaccine)
    if (vaccine !== undefined) placed.push({ dose, vaccine })
  }
  return isInOrder(placed) ? placed : placed.sort(byReadingOrder)
}

/** Most records are kept in order; seeing so is cheaper than sorting. */
function isInOrder(placed: readonly Placed[]): boolean {
  let last = placed[0]
  for (const one of placed) {
    if (last !== undefined && byReadingOrder(last, one) > 0) return false
    last = one
  }
  return true
}

function byReadingOrder(one: Placed, other: Placed): number {
  return one.dose.on - other.dose.on || one.vaccine.rank - other.vaccine.rank
}

/** What a dose means for each series its vaccine counts in. */
function verdictsOn(history: History, given: Given, asOf: Day): readonly Verdict[] {
  const { dose, vaccine } = given
  const impossible = dose.on < history.child.birthOn ? 'before-birth' : dose.on > asOf ? 'future' : null
  const verdicts: Verdict[] = []
  for (const index of vaccine.countsIn) {
    const course = courseOf(history, index)
    verdicts.push(impossible === null ? judge(history, course, given) : unnumbered(course.series, impossible))
  }
  if (vaccine.isSpaced && impossible === null) history.live.push(dose)
  return verdicts.length > 1 ? withoutBystanders(verdicts) : verdicts
}

/** A series that a dose stands outside of (oral polio's birth dose) is named only when no other takes it in. */
function withoutBystanders(verdicts: Verdict[]): Verdict[] {
  const named = verdicts.filter(({ reason }) => reason !== 'not-counted')
  return named.length > 0 ? named : verdicts.slice(0, 1)
}
