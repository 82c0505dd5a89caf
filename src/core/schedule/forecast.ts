import type { Day } from '../days/day.ts'
import { judge, nextDose, unnumbered } from './evaluate.ts'
import type { ChildFacts, Forecast, GivenDose, JudgedDose, NextDose, Verdict } from './forecast-types.ts'
import { openHistory } from './history.ts'
import type { Course, History } from './history.ts'
import type { Schedule, Vaccine } from './schedule.ts'

/**
 * What a child has had, what of it counts, and what comes next, as of a day. Doses may come in any order;
 * nothing recorded makes it fail: what cannot count is said not to count.
 */
export function forecast(schedule: Schedule, child: ChildFacts, asOf: Day): Forecast {
  const history = openHistory(schedule, child)
  const given = new Array<JudgedDose>(child.given.length)
  for (const { dose, vaccine, place } of inReadingOrder(schedule, child.given))
    given[place] = { vaccine: dose.vaccine, on: dose.on, counts: verdictsOn(history, dose, vaccine, asOf) }
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

interface PlacedDose {
  readonly dose: GivenDose
  /** `null`: the schedule does not know it. */
  readonly vaccine: Vaccine | null
  /** Where it was handed in. */
  readonly place: number
}

/** Given doses by day; on one day, a dose that others are counted from comes first. */
function inReadingOrder(schedule: Schedule, given: readonly GivenDose[]): PlacedDose[] {
  const placed: PlacedDose[] = []
  for (const dose of given)
    placed.push({ dose, vaccine: schedule.vaccines.get(dose.vaccine) ?? null, place: placed.length })
  return placed.sort(byReadingOrder)
}

function byReadingOrder(one: PlacedDose, other: PlacedDose): number {
  return one.dose.on - other.dose.on || (one.vaccine?.rank ?? 0) - (other.vaccine?.rank ?? 0)
}

/** What a dose means for each series its vaccine counts in; a vaccine the schedule does not know means nothing. */
function verdictsOn(history: History, dose: GivenDose, vaccine: Vaccine | null, asOf: Day): Verdict[] {
  if (vaccine === null) return []
  const impossible = dose.on < history.child.birthOn ? 'before-birth' : dose.on > asOf ? 'future' : null
  const verdicts: Verdict[] = []
  for (const index of vaccine.countsIn) {
    const course = history.courses[index]
    if (course === undefined) continue
    verdicts.push(
      impossible === null ? judge(history, course, dose, vaccine) : unnumbered(course.series, impossible),
    )
  }
  if (vaccine.isSpaced && impossible === null) history.live.push(dose)
  return verdicts.length > 1 ? withoutBystanders(verdicts) : verdicts
}

/** A series that a dose stands outside of (oral polio's birth dose) is named only when no other takes it in. */
function withoutBystanders(verdicts: Verdict[]): Verdict[] {
  const named = verdicts.filter(({ reason }) => reason !== 'not-counted')
  return named.length > 0 ? named : verdicts.slice(0, 1)
}
