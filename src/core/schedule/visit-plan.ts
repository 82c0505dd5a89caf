import { addDays, addMonths, completedMonths, mustParseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { forecast } from './forecast.ts'
import type { ChildFacts, GivenDose, NextDose } from './forecast-types.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { Schedule } from './schedule.ts'

/** One visit of a child who comes whenever something is due. */
export interface Visit {
  readonly on: Day
  /** In words: `14 weeks`. */
  readonly age: string
  /** Doses given that day, in schedule order. */
  readonly doses: readonly NextDose[]
}

export interface VisitPlan {
  readonly birthOn: Day
  readonly visits: readonly Visit[]
  /** Doses whose time is over before they can be given. */
  readonly missed: readonly NextDose[]
  /** Series that are finished in the end. */
  readonly complete: readonly string[]
}

/** An invented birthday in the middle of a month, so that no month end disturbs the ages. */
const BIRTH_ON = mustParseDay('2025-01-15')

/** Far more visits than any schedule has. */
const MOST_VISITS = 200

/** The visits of a child who first comes at an age and from then on comes on each day something is due. */
export function visitPlan(
  schedule: Schedule,
  startAge: Length,
  facts: Omit<ChildFacts, 'birthOn' | 'given'> = {},
): VisitPlan {
  const given: GivenDose[] = []
  const visits: Visit[] = []
  const child = { ...facts, birthOn: BIRTH_ON, given }
  let today = later(BIRTH_ON, startAge, schedule.monthEnd)
  for (;;) {
    const doses = forecast(schedule, child, today).next.filter(isWanted)
    if (doses.length > 0) visits.push({ on: today, age: ageInWords(BIRTH_ON, today), doses })
    for (const vaccine of new Set(doses.map((dose) => dose.vaccine))) given.push({ vaccine, on: today })

    const tomorrow = addDays(today, 1)
    const { next, complete } = forecast(schedule, child, tomorrow)
    const coming = next.filter(({ status }) => status !== 'closed').map(({ due }) => Math.max(due, tomorrow))
    if (coming.length === 0 || visits.length > MOST_VISITS)
      return { birthOn: BIRTH_ON, visits, missed: next, complete }
    // The least of some days is a day.
    today = Math.min(...coming) as Day
  }
}

function isWanted({ status }: NextDose): boolean {
  return status === 'due' || status === 'overdue'
}

const HALF_A_YEAR_DAYS = 182

/** An age as a schedule would say it: whole months or years, else weeks in the first half-year, else months and days. */
export function ageInWords(birthOn: Day, on: Day): string {
  if (on === birthOn) return 'birth'
  const months = completedMonths(birthOn, on)
  const restDays = on - addMonths(birthOn, months)
  if (restDays === 0) return wholeMonths(months)
  const age = on - birthOn
  return age <= HALF_A_YEAR_DAYS
    ? together(plural(Math.floor(age / 7), 'week'), plural(age % 7, 'day'))
    : together(plural(months, 'month'), plural(restDays, 'day'))
}

/** `18 months`, but `5 years`. */
function wholeMonths(months: number): string {
  return months >= 36 && months % 12 === 0 ? plural(months / 12, 'year') : plural(months, 'month')
}

function plural(count: number, unit: string): string {
  return count === 0 ? '' : `${count} ${unit}${count === 1 ? '' : 's'}`
}

function together(...parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(' ')
}
