/** The lists that make work move: who is expected, whom to find, and in which order to walk. */
import { findDose } from '../../core/coverage/dose-sheet.ts'
import { addDays, addMonths } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import type { PlannedDose, Village } from '../../core/model.ts'
import { walkingRound } from '../../core/places/walking-round.ts'
import { later } from '../../core/schedule/length.ts'
import { listDue } from '../../store/appointments.ts'
import { getChildren } from '../../store/children.ts'
import { listMissedChildren } from '../../store/defaulters.ts'
import { listDoseHolders, listNewcomers, numbersOfChildren } from '../../store/follow-lists.ts'
import { reachedByText, wantsNoReminder } from '../failing-phones.ts'
import { policyOf } from '../shelf.ts'
import { byVillage } from './by-village.ts'
import type { OfVillage } from './by-village.ts'
import type { DistrictScope } from './district-scope.ts'
import { sheetIn } from './dose-ladder.ts'

export const FOLLOW_LISTS = ['due', 'to-tell', 'missed', 'long-missed', 'zero-dose', 'moved-in'] as const
export type FollowList = (typeof FOLLOW_LISTS)[number]

/** A child on a list. */
export interface FollowLine {
  readonly childId: string
  readonly cardNumber: string
  readonly name: string
  readonly birthOn: Day
  readonly village: Village
  /** The family's numbers. */
  readonly numbers: readonly string[]
  /** Vaccines wanted, where a visit says so. */
  readonly wanted: readonly string[]
  /** The day the list is about: of the visit, the missed visit, the day the dose was late, or the coming. */
  readonly on: Day
  /** What was last noted of the child, if anything. */
  readonly lastWord: { readonly on: Day; readonly reason: string | null } | null
}

/** How far ahead visits are listed. */
export const DUE_AHEAD_DAYS = 14
/** Older zero-dose children are counted by the coverage of their cohort. */
const ZERO_DOSE_MONTHS = 24
const NEWCOMER_DAYS = 60
/** From this age an enrolment is late (CDC minimum functional standards 2001, #2). */
const LATE_ENROLMENT_DAYS = 42
const MOST_ROWS = 2000

interface FoundChild {
  readonly childId: string
  readonly on: Day
  readonly doses: readonly PlannedDose[]
}

/**
 * Children of a list in a village or in all, by village: in the order of a round that starts where most are to be seen.
 */
export async function followList(
  scope: DistrictScope,
  list: FollowList,
  villageId: string | null,
): Promise<readonly OfVillage<FollowLine>[]> {
  const groups = byVillage(await describe(scope, await FIND[list](scope, villageId)))
  return inRound(groups.toSorted((a, b) => b.lines.length - a.lines.length))
}

/** How many children each list holds now. */
export async function countFollowLists(scope: DistrictScope): Promise<ReadonlyMap<FollowList, number>> {
  const counts = new Map<FollowList, number>()
  for (const list of FOLLOW_LISTS) counts.set(list, (await FIND[list](scope, null)).length)
  return counts
}

/** How many children have to be found. */
export async function countMissed(scope: DistrictScope): Promise<number> {
  return (await findMissed(scope, null)).length
}

async function findDue(
  { db, district, today }: DistrictScope,
  villageId: string | null,
): Promise<FoundChild[]> {
  const to = addDays(today, DUE_AHEAD_DAYS)
  const due = await listDue(db, { districtId: district.id, postId: null, villageId, from: today, to })
  return due.map(({ childId, sessionOn, doses }) => ({ childId, on: sessionOn, doses }))
}

/** Expected children of whom no text tells the family: no phone, none that gets texts, or it chose to hear from a worker. */
async function findToTell(scope: DistrictScope, villageId: string | null): Promise<FoundChild[]> {
  const due = await findDue(scope, villageId)
  const ids = due.map(({ childId }) => childId)
  const [reached, unasked] = [await reachedByText(scope.db, ids), await wantsNoReminder(scope.db, ids)]
  return due.filter(({ childId }) => !reached.has(childId) && !unasked.has(childId))
}

async function findMissed({ db, district }: DistrictScope, villageId: string | null): Promise<FoundChild[]> {
  const missed = await listMissedChildren(db, { districtId: district.id, postId: null, villageId })
  return missed.map(({ childId, missedOn, doses }) => ({ childId, on: missedOn, doses }))
}

/** Missed for longer than the policy lets be, and nobody noted anything of the child since: the officer's own list. */
async function findLongMissed(scope: DistrictScope, villageId: string | null): Promise<FoundChild[]> {
  const { db, deps, district, today } = scope
  const { officerAfterDays } = policyOf(deps.shelf, district.reminderPolicy).tries
  const long = (await findMissed(scope, villageId)).filter(({ on }) => addDays(on, officerAfterDays) <= today)
  const children = new Map(
    (
      await getChildren(
        db,
        long.map(({ childId }) => childId),
      )
    ).map((child) => [child.id, child]),
  )
  return long.filter(({ childId, on }) => {
    const notedOn = children.get(childId)?.statusOn ?? null
    return notedOn === null || notedOn < on
  })
}

/** Past the age at which the first DTP-containing dose is late, and without it. */
async function findZeroDose(scope: DistrictScope, villageId: string | null): Promise<FoundChild[]> {
  const { db, deps, district, today } = scope
  const sheet = await sheetIn(scope)
  const first = findDose(sheet, deps.shelf.indicators.zeroDose)
  if (first === undefined) return []
  const lateFrom = first.lateFrom ?? first.dueAge
  const children = await listDoseHolders(db, {
    districtId: district.id,
    villageId,
    bornFrom: addMonths(today, -ZERO_DOSE_MONTHS),
    bornTo: today,
    series: first.series,
    dose: first.dose,
    hadIt: false,
    limit: MOST_ROWS,
  })
  return children
    .map(({ childId, birthOn }) => ({ childId, on: later(birthOn, lateFrom, sheet.monthEnd), doses: [] }))
    .filter(({ on }) => on <= today)
}

async function findNewcomers(scope: DistrictScope, villageId: string | null): Promise<FoundChild[]> {
  const { db, district, today } = scope
  const sinceOn = addDays(today, -NEWCOMER_DAYS)
  const since = startOfDay(sinceOn, district.timeZone)
  const asked = { districtId: district.id, villageId, since, sinceOn, lateAgeDays: LATE_ENROLMENT_DAYS }
  return (await listNewcomers(db, asked)).map(({ childId, cameOn }) => ({ childId, on: cameOn, doses: [] }))
}

const FIND: Readonly<
  Record<FollowList, (scope: DistrictScope, villageId: string | null) => Promise<FoundChild[]>>
> = {
  due: findDue,
  'to-tell': findToTell,
  missed: findMissed,
  'long-missed': findLongMissed,
  'zero-dose': findZeroDose,
  'moved-in': findNewcomers,
}

/** Adds to found children what a list says of them, in the order in which they were found. */
async function describe(
  { db, villages }: DistrictScope,
  found: readonly FoundChild[],
): Promise<readonly FollowLine[]> {
  const ids = found.map(({ childId }) => childId)
  const children = new Map((await getChildren(db, ids)).map((child) => [child.id, child]))
  const numbers = await numbersOfChildren(db, ids)
  return found.flatMap(({ childId, on, doses }) => {
    const child = children.get(childId)
    const village = villages.find(({ id }) => id === child?.villageId)
    if (child === undefined || village === undefined) return []
    const { cardNumber, name, birthOn, statusOn, statusReason } = child
    return {
      childId,
      cardNumber,
      name,
      birthOn,
      village,
      numbers: numbers.get(childId) ?? [],
      wanted: [...new Set(doses.map(({ vaccine }) => vaccine))],
      on,
      lastWord: statusOn === null ? null : { on: statusOn, reason: statusReason },
    }
  })
}

function inRound(groups: readonly OfVillage<FollowLine>[]): readonly OfVillage<FollowLine>[] {
  const stops = groups.map((group) => {
    const { latitude, longitude } = group.village
    return { group, latitude, longitude }
  })
  return walkingRound(stops).map(({ group }) => group)
}
