import { addDays, addMonths } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { DoseSheet } from '../coverage/dose-sheet.ts'
import type { KeywordBook } from '../reading/keyword-book.ts'
import type { ReadContext } from '../reading/read-context.ts'
import type { Schedule } from '../schedule/schedule.ts'
import { expandSessions, parseSessionCalendar } from '../sessions/session-calendar.ts'
import type { SessionDays } from '../sessions/session-calendar.ts'
import type { Assumptions } from './assumptions.ts'

/** The district that is played: what holds for all its children and under every policy. */
export interface SimulatedDistrict {
  readonly seed: number
  readonly assumptions: Assumptions
  readonly schedule: Schedule
  readonly sheet: DoseSheet
  readonly bundlingDays: number
  readonly startOn: Day
  /** The last day that is played. */
  readonly endOn: Day
  /** The session days of each village. */
  readonly villages: readonly SessionDays[]
  /** How vaccinators' texts are read, and the words they write in. */
  readonly reading: Omit<ReadContext, 'on'>
  readonly keywords: KeywordBook
}

export type DistrictPlan = Omit<SimulatedDistrict, 'endOn' | 'villages'> & { readonly months: number }

/** How far beyond the last day visits are booked. */
const BOOKED_BEYOND_DAYS = 120

/** Expands the sessions of a district. @throws {RangeError} for a session rule that is none */
export function simulatedDistrict({ months, ...plan }: DistrictPlan): SimulatedDistrict {
  const endOn = addDays(addMonths(plan.startOn, months), -1)
  const lastOn = addDays(endOn, BOOKED_BEYOND_DAYS)
  const villages = plan.assumptions.sessions.map((rule) => {
    const parsed = parseSessionCalendar({ rules: [rule], extraDays: [], exceptDays: [] })
    if (parsed.kind === 'invalid') throw new RangeError(parsed.problems.map(({ detail }) => detail).join(' '))
    return expandSessions(parsed.calendar, plan.startOn, lastOn)
  })
  return { ...plan, endOn, villages }
}
