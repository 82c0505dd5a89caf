import { addDays, mustParseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { forecast } from './forecast.ts'
import type { ChildFacts, GivenDose, NextDose } from './forecast-types.ts'
import { later } from './length.ts'
import type { Length } from './length.ts'
import type { Schedule } from './schedule.ts'

/** One visit of a child who comes whenever something is due. */
export interface Visit {
  readonly on: Day
  /** Doses given that day, in schedule order. */
  readonly doses: readonly NextDose[]
}

export interface VisitPlan {
  readonly birthOn: Day
  readonly visits: readonly Visit[]
  /** Doses whose time ran out before they could be given. */
  readonly missed: readonly NextDose[]
}

/** An invented birthday; ages shown beside the plan hold for any other, give or take a month's length. */
const BIRTH_ON = mustParseDay('2025-01-15')

/** Far more visits than any schedule has. */
const MOST_VISITS = 200

/** The visits of a child who first comes at an age and from then on comes on the day something is due. */
export function visitPlan(schedule: Schedule, start: Length, facts: Partial<ChildFacts> = {}): VisitPlan {
  const birthOn = facts.birthOn ?? BIRTH_ON
  const given: GivenDose[] = []
  const visits: Visit[] = []
  let today = later(birthOn, start, schedule.monthEnd)
  for (;;) {
    const { next } = forecast(schedule, { ...facts, birthOn, given }, today)
    const doses = next.filter(({ status }) => status === 'due' || status === 'overdue')
    if (doses.length > 0) visits.push({ on: today, doses })
    for (const { vaccine } of doses) if (!isGiven(given, vaccine, today)) given.push({ vaccine, on: today })
    const after = addDays(today, 1)
    const open = forecast(schedule, { ...facts, birthOn, given }, after).next
    const coming = open.filter(({ status }) => status !== 'closed').map(({ due }) => Math.max(due, after))
    if (coming.length === 0 || visits.length > MOST_VISITS) return { birthOn, visits, missed: open }
    today = Math.min(...coming) as Day
  }
}

function isGiven(given: readonly GivenDose[], vaccine: string, on: Day): boolean {
  return given.some((dose) => dose.vaccine === vaccine && dose.on === on)
}
