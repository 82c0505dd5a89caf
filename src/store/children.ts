import type { Child, ChildStatus, OwnPlan, Sex } from '../core/model.ts'
import type { Day } from '../core/days/day.ts'
import { Refusal } from '../core/refusals.ts'
import type { Child as ChildRow } from '../generated/prisma/client.ts'
import { z } from 'zod'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'
import { statement } from './statements.ts'

const ownPlan = z.object({
  // A whole number of days is a Day.
  putOff: z.array(z.object({ vaccine: z.string(), until: z.int().transform((days) => days as Day) })),
  risks: z.array(z.string()),
})

const NO_OWN_PLAN: OwnPlan = { putOff: [], risks: [] }

function child(row: ChildRow): Child {
  return {
    id: row.id,
    districtId: row.districtId,
    villageId: row.villageId,
    cardNumber: row.cardNumber,
    name: row.name,
    // The table's checks allow only these values.
    sex: row.sex as Sex | null,
    birthOn: fromDate(row.birthOn),
    isBirthEstimated: row.isBirthEstimated,
    birthWeightGrams: row.birthWeightGrams,
    birthMinute: row.birthMinute,
    ownPlan: row.ownPlan === null ? NO_OWN_PLAN : ownPlan.parse(row.ownPlan),
    status: row.status as ChildStatus,
    statusOn: row.statusOn === null ? null : fromDate(row.statusOn),
    statusReason: row.statusReason,
    awayUntil: row.awayUntil === null ? null : fromDate(row.awayUntil),
    enrolledOn: fromDate(row.enrolledOn),
    enrolledVia: row.enrolledVia,
    mergedInto: row.mergedInto,
    birthGroup: row.birthGroup,
    birthOrder: row.birthOrder,
    isErased: row.erasedAt !== null,
    isSharingBarred: row.sharingBarredAt !== null,
  }
}

export interface NewChild extends Omit<
  Child,
  | 'status'
  | 'statusOn'
  | 'statusReason'
  | 'awayUntil'
  | 'mergedInto'
  | 'birthGroup'
  | 'birthOrder'
  | 'ownPlan'
  | 'isErased'
  | 'isSharingBarred'
> {
  readonly enrolledBy: string
  readonly createdAt: Date
}

export async function insertChild(db: Db, given: NewChild): Promise<Child> {
  const data = { ...given, birthOn: toDate(given.birthOn), enrolledOn: toDate(given.enrolledOn) }
  return child(await db.child.create({ data }))
}

/** @throws {Refusal} child-not-found */
export async function getChild(db: Db, id: string): Promise<Child> {
  const row = await db.child.findUnique({ where: { id } })
  if (row === null)
    throw new Refusal('child-not-found', `There is no child ${id}; look it up by card or phone.`)
  return child(row)
}

/** Those of the children that exist, in order of identifier. */
export async function getChildren(db: Db, ids: readonly string[]): Promise<Child[]> {
  const rows = await db.child.findMany({ where: { id: { in: [...ids] } }, orderBy: { id: 'asc' } })
  return rows.map(child)
}

/** The child whose card this is; that of a merged record leads to the one that stands for it, of an erased one nowhere. */
export async function findChildByCard(db: Db, cardNumber: string): Promise<Child | undefined> {
  const row = await db.child.findUnique({ where: { cardNumber, erasedAt: null } })
  return row === null ? undefined : standingFor(db, child(row))
}

/** The identifier of the very record with this card, merged or not. */
export async function recordIdOfCard(db: Db, cardNumber: string): Promise<string | undefined> {
  return (await db.child.findUnique({ where: { cardNumber, erasedAt: null }, select: { id: true } }))?.id
}

/** Follows merges to the record that stands for a child. */
export async function standingFor(db: Db, record: Child): Promise<Child> {
  let standing = record
  while (standing.mergedInto !== null) standing = await getChild(db, standing.mergedInto)
  return standing
}

/** The other children of a birth, and of the same families: those who share a phone; in order of birth. */
export async function siblingsOf(db: Db, { id, birthGroup }: Child): Promise<Child[]> {
  const own = await db.caregiver.findMany({ where: { childId: id, until: null }, select: { lineId: true } })
  const rows = await db.child.findMany({
    where: {
      id: { not: id },
      mergedInto: null,
      OR: [
        { caregivers: { some: { until: null, lineId: { in: own.map(({ lineId }) => lineId) } } } },
        ...(birthGroup === null ? [] : [{ birthGroup }]),
      ],
    },
    orderBy: [{ birthOn: 'asc' }, { birthOrder: 'asc' }, { id: 'asc' }],
  })
  return rows.map(child)
}

/** Children whose caregiver's line has this number, in any district, oldest first. */
export async function findChildrenByNumber(db: Db, number: string): Promise<Child[]> {
  const rows = await db.child.findMany({
    where: { caregivers: { some: { until: null, line: { number } } } },
    orderBy: [{ birthOn: 'asc' }, { id: 'asc' }],
  })
  return rows.map(child)
}

export async function childrenOfLine(db: Db, lineId: string): Promise<Child[]> {
  const rows = await db.child.findMany({
    where: { caregivers: { some: { until: null, lineId } } },
    orderBy: [{ birthOn: 'asc' }, { id: 'asc' }],
  })
  return rows.map(child)
}

export interface ChildPage {
  readonly districtId: string
  readonly villageId: string | null
  readonly afterId: string | null
  readonly limit: number
}

/** A keyset page, in order of identifier (which is order of enrolment). */
export async function pageOfChildren(db: Db, page: ChildPage): Promise<Child[]> {
  const rows = await db.child.findMany({
    where: {
      districtId: page.districtId,
      erasedAt: null,
      ...(page.villageId === null ? {} : { villageId: page.villageId }),
      ...(page.afterId === null ? {} : { id: { gt: page.afterId } }),
    },
    orderBy: { id: 'asc' },
    take: page.limit,
  })
  return rows.map(child)
}

export interface ChildChange {
  readonly mergedInto?: string | null
  readonly birthGroup?: string | null
  readonly birthOrder?: number | null
  readonly villageId?: string
  readonly districtId?: string
  readonly name?: string
  readonly sex?: Sex | null
  readonly birthOn?: Day
  readonly isBirthEstimated?: boolean
  readonly birthWeightGrams?: number | null
  readonly birthMinute?: number | null
  readonly ownPlan?: OwnPlan
  readonly status?: ChildStatus
  readonly statusOn?: Day | null
  readonly statusReason?: string | null
  readonly awayUntil?: Day | null
  readonly planAgainOn?: Day | null
  readonly sharingBarredAt?: Date | null
  readonly sharingBarredBy?: string | null
}

/** Whoever changes in one of these is compared with others anew. */
const IDENTIFYING = ['name', 'sex', 'birthOn', 'villageId', 'districtId', 'mergedInto', 'birthGroup'] as const

export async function changeChild(db: Db, id: string, change: ChildChange): Promise<Child> {
  const { birthOn, statusOn, awayUntil, planAgainOn, ownPlan: plan, ...rest } = change
  const column = (day: Day | null) => (day === null ? null : toDate(day))
  const data = {
    ...rest,
    ...(IDENTIFYING.some((fact) => change[fact] !== undefined) ? { isCompared: false } : {}),
    ...(awayUntil === undefined ? {} : { awayUntil: column(awayUntil) }),
    ...(planAgainOn === undefined ? {} : { planAgainOn: column(planAgainOn) }),
    ...(plan === undefined
      ? {}
      : { ownPlan: { putOff: plan.putOff.map((one) => ({ ...one })), risks: [...plan.risks] } }),
    ...(birthOn === undefined ? {} : { birthOn: toDate(birthOn) }),
    ...(statusOn === undefined ? {} : { statusOn: column(statusOn) }),
  }
  return child(await db.child.update({ where: { id }, data }))
}

const lockChildRow = statement('lock-child', z.object({ id: z.string() }))

/** Holds the child for the rest of the transaction, so that its plan has one writer at a time. */
export async function lockChild(db: Db, id: string): Promise<Child> {
  await lockChildRow(db, id)
  return getChild(db, id)
}

const againRows = statement('list-children-to-plan-again', z.object({ id: z.string() }))

/** Children of a district for whom something is wanted from `today` on and nothing is planned yet. */
export async function listChildrenToPlanAgain(
  db: Db,
  districtId: string,
  today: Day,
  limit: number,
): Promise<string[]> {
  return (await againRows(db, districtId, toDate(today), limit)).map((row) => row.id)
}

/** Marks the followed children of a village to be planned again on a day. */
export async function planAgainInVillage(db: Db, villageId: string, on: Day): Promise<void> {
  await db.child.updateMany({ where: { villageId, status: 'active' }, data: { planAgainOn: toDate(on) } })
}

/** Plans these children again on a day. */
export async function planAgain(db: Db, ids: readonly string[], on: Day): Promise<void> {
  await db.child.updateMany({ where: { id: { in: [...ids] } }, data: { planAgainOn: toDate(on) } })
}

/** Marks the followed children of districts with a schedule to be planned again on a day; answers how many. */
export async function planAgainOnSchedule(db: Db, scheduleCode: string, on: Day): Promise<number> {
  const followed = { district: { scheduleCode }, status: { in: ['active', 'away'] } }
  // A child that is to be planned sooner stays so; the plan made then reaches for the new version by itself.
  await db.child.updateMany({
    where: { ...followed, OR: [{ planAgainOn: null }, { planAgainOn: { gt: toDate(on) } }] },
    data: { planAgainOn: toDate(on) },
  })
  return db.child.count({ where: followed })
}

const amongRows = statement('list-children-among', z.object({ id: z.string() }))

/** Which of these identifiers and cards are those of children. */
export async function childrenAmong(
  db: Db,
  { ids, cards }: { readonly ids: readonly string[]; readonly cards: readonly string[] },
): Promise<string[]> {
  if (ids.length + cards.length === 0) return []
  return (await amongRows(db, [...ids], [...cards])).map(({ id }) => id)
}
