import { addDays } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import type { Village } from '../../core/model.ts'
import { listDue } from '../../store/appointments.ts'
import { getChildren } from '../../store/children.ts'
import { numbersOfChildren } from '../../store/follow-lists.ts'
import { sessionsOf } from '../sessions-of.ts'
import { policyOf } from '../shelf.ts'
import { byVillage } from './by-village.ts'
import type { OfVillage } from './by-village.ts'
import type { DistrictScope } from './district-scope.ts'

/** A day on which vaccines are given somewhere. */
export interface SessionDay {
  readonly on: Day
  /** The villages whose day it is. */
  readonly villages: readonly Village[]
  readonly expected: number
}

const AHEAD_DAYS = 28

/** The session days of the next four weeks, with who is served and how many children are expected. */
export async function listSessionDays(scope: DistrictScope): Promise<readonly SessionDay[]> {
  const { db, deps, district, villages, today } = scope
  const to = addDays(today, AHEAD_DAYS)
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const due = await listDue(db, { districtId: district.id, postId: null, villageId: null, from: today, to })
  const serves = villages.map((village) => ({
    village,
    days: new Set(sessionsOf(village, today, policy).days),
  }))
  const days = Array.from({ length: AHEAD_DAYS + 1 }, (_, ahead) => addDays(today, ahead))
  return days
    .map((on) => ({
      on,
      villages: serves.filter((each) => each.days.has(on)).map(({ village }) => village),
      expected: due.filter(({ sessionOn }) => sessionOn === on).length,
    }))
    .filter((day) => day.villages.length > 0 || day.expected > 0)
}

/** The next session days of a village. */
export function nextSessions(
  { deps, district, today }: DistrictScope,
  village: Village,
  count: number,
): readonly Day[] {
  return sessionsOf(village, today, policyOf(deps.shelf, district.reminderPolicy)).days.slice(0, count)
}

/** A child expected at a session. */
export interface ExpectedChild {
  readonly childId: string
  readonly cardNumber: string
  readonly name: string
  readonly birthOn: Day
  readonly village: Village
  /** `OPV 2`, `PENTA 2`: the doses by series, with the vaccine that gives each. */
  readonly doses: readonly { readonly series: string; readonly dose: number; readonly vaccine: string }[]
  readonly numbers: readonly string[]
}

/** One vaccine and the children it is wanted for. */
export interface WantedVaccine {
  readonly vaccine: string
  readonly children: number
}

export interface SessionList {
  readonly on: Day
  readonly villages: readonly OfVillage<ExpectedChild>[]
  /** What is to be given; from it follow the vials to carry. */
  readonly wanted: readonly WantedVaccine[]
}

/** Who is expected on a day, by village and name. */
export async function sessionList(scope: DistrictScope, on: Day): Promise<SessionList> {
  const { db, district, villages } = scope
  const due = await listDue(db, { districtId: district.id, postId: null, villageId: null, from: on, to: on })
  const ids = due.map(({ childId }) => childId)
  const births = new Map((await getChildren(db, ids)).map(({ id, birthOn }) => [id, birthOn]))
  const numbers = await numbersOfChildren(db, ids)
  const expected = due.flatMap((child) => {
    const village = villages.find(({ name }) => name === child.village)
    const birthOn = births.get(child.childId)
    if (village === undefined || birthOn === undefined) return []
    return { ...child, village, birthOn, numbers: numbers.get(child.childId) ?? [] }
  })
  return { on, villages: byVillage(expected), wanted: wantedOf(expected) }
}

function wantedOf(expected: readonly ExpectedChild[]): readonly WantedVaccine[] {
  const children = new Map<string, number>()
  for (const { doses } of expected) {
    // One injection may count in two series.
    for (const vaccine of new Set(doses.map((dose) => dose.vaccine)))
      children.set(vaccine, (children.get(vaccine) ?? 0) + 1)
  }
  return [...children]
    .map(([vaccine, count]) => ({ vaccine, children: count }))
    .sort((a, b) => (a.vaccine < b.vaccine ? -1 : 1))
}
