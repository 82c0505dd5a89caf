import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { Db, Transaction } from './database.ts'
import { toDate } from './days.ts'

/** Two records made one, with what it takes to part them again. */

const facts = z.object({
  name: z.string(),
  sex: z.enum(['female', 'male']).nullable(),
  birthOn: z.number(),
  isBirthEstimated: z.boolean(),
  birthWeightGrams: z.number().nullable(),
  // Merges of older releases kept none.
  birthMinute: z.number().nullable().default(null),
  villageId: z.string(),
})
/** Facts of a child as a merge keeps them; the birth date as its day number. */
export type KeptFacts = z.infer<typeof facts>

const ids = z.array(z.string())
const movedShape = z.object({
  doses: ids,
  dropped: ids,
  notGiven: ids,
  reactions: ids,
  clinicalNotes: ids.default([]),
  addresses: ids.default([]),
  /** The merge barred the staying record from being told of, as the leaving one was. */
  isBarredAnew: z.boolean().default(false),
  /** Caregivers that the staying record got, and those that the leaving one gave up. */
  joined: ids,
  ended: ids,
  formerNames: ids,
  before: facts,
  after: facts,
  /** Of the record that left. */
  status: z.string(),
})

const mergeShape = z.object({
  id: z.string(),
  districtId: z.string(),
  staysId: z.string(),
  leavesId: z.string(),
  moved: movedShape,
  comment: z.string().nullable(),
  mergedBy: z.string(),
  mergedAt: z.date(),
  undoneBy: z.string().nullable(),
  undoneAt: z.date().nullable(),
})
export type Merge = z.infer<typeof mergeShape>

export interface NewMerge extends Omit<Merge, 'undoneBy' | 'undoneAt'> {
  readonly choices: object
}

export async function insertMerge(tx: Transaction, given: NewMerge): Promise<void> {
  await tx.childMerge.create({ data: given })
}

export async function findMerge(db: Db, id: string): Promise<Merge | undefined> {
  const row = await db.childMerge.findUnique({ where: { id } })
  return row === null ? undefined : mergeShape.parse(row)
}

/** Merges of a district, newest first; those undone too. */
export async function listMerges(db: Db, districtId: string, limit: number): Promise<Merge[]> {
  const rows = await db.childMerge.findMany({
    where: { districtId },
    orderBy: [{ mergedAt: 'desc' }, { id: 'desc' }],
    take: limit,
  })
  return rows.map((row) => mergeShape.parse(row))
}

/** Marks a merge as undone; false when somebody did so before. */
export async function markUndone(tx: Transaction, id: string, by: string, at: Date): Promise<boolean> {
  const { count } = await tx.childMerge.updateMany({
    where: { id, undoneAt: null },
    data: { undoneBy: by, undoneAt: at },
  })
  return count === 1
}

/** Who gets the records, and the birth date that its doses carry. */
export interface Owner {
  readonly id: string
  readonly birthOn: Day
}

/** Gives doses another owner; answers which there were. */
export async function moveDoses(tx: Transaction, doseIds: readonly string[], to: Owner): Promise<void> {
  await tx.dose.updateMany({
    where: { id: { in: [...doseIds] } },
    data: { childId: to.id, birthOn: toDate(to.birthOn) },
  })
}

/** Every dose of a child, withdrawn ones too. */
export async function doseIdsOf(tx: Transaction, childId: string): Promise<string[]> {
  return (await tx.dose.findMany({ where: { childId }, select: { id: true } })).map(({ id }) => id)
}

/** Doses that were reported under a record after it was merged into another. */
export async function doseIdsReportedFor(tx: Transaction, childId: string): Promise<string[]> {
  return (await tx.dose.findMany({ where: { reportedFor: childId }, select: { id: true } })).map(
    ({ id }) => id,
  )
}

/** What else hangs on a child and goes with it. */
export interface Belongings {
  readonly notGiven: string[]
  readonly reactions: string[]
  readonly clinicalNotes: string[]
  readonly addresses: string[]
}

export async function moveBelongings(tx: Transaction, from: string, to: string): Promise<Belongings> {
  const [where, change] = [{ childId: from }, { data: { childId: to }, select: { id: true } }]
  const notGiven = await tx.doseNotGiven.updateManyAndReturn({ where, ...change })
  const reactions = await tx.reaction.updateManyAndReturn({ where, ...change })
  const notes = await tx.clinicalNote.updateManyAndReturn({ where, ...change })
  const addresses = await tx.childAddress.updateManyAndReturn({ where, ...change })
  const idsOf = (rows: readonly { readonly id: string }[]): string[] => rows.map(({ id }) => id)
  return {
    notGiven: idsOf(notGiven),
    reactions: idsOf(reactions),
    clinicalNotes: idsOf(notes),
    addresses: idsOf(addresses),
  }
}

export async function moveBelongingsBack(tx: Transaction, moved: Belongings, to: string): Promise<void> {
  const data = { childId: to }
  await tx.doseNotGiven.updateMany({ where: { id: { in: moved.notGiven } }, data })
  await tx.reaction.updateMany({ where: { id: { in: moved.reactions } }, data })
  await tx.clinicalNote.updateMany({ where: { id: { in: moved.clinicalNotes } }, data })
  await tx.childAddress.updateMany({ where: { id: { in: moved.addresses } }, data })
}

/** Brings back doses that a merge withdrew, unless the same dose stands again. */
export async function bringBackDoses(
  tx: Transaction,
  doseIds: readonly string[],
  reason: string,
): Promise<void> {
  for (const id of doseIds) {
    const dose = await tx.dose.findUnique({ where: { id } })
    if (dose?.voidReason !== reason) continue
    const { childId, vaccine, givenOn } = dose
    const other = await tx.dose.findFirst({ where: { childId, vaccine, givenOn, voidedAt: null } })
    if (other !== null) continue
    await tx.dose.update({ where: { id }, data: { voidedAt: null, voidedBy: null, voidReason: null } })
  }
}

export interface CaregiverLink {
  readonly id: string
  readonly lineId: string
  readonly relation: string | null
  readonly phoneKind: string | null
}

/** The lines a child is joined to now. */
export function caregiversOf(tx: Transaction, childId: string): Promise<CaregiverLink[]> {
  return tx.caregiver.findMany({
    where: { childId, until: null },
    select: { id: true, lineId: true, relation: true, phoneKind: true },
    orderBy: { since: 'asc' },
  })
}

export async function endCaregivers(
  tx: Transaction,
  caregiverIds: readonly string[],
  at: Date,
): Promise<void> {
  await tx.caregiver.updateMany({
    where: { id: { in: [...caregiverIds] }, until: null },
    data: { until: at },
  })
}

/** Lets caregivers hold again, on these lines: one that the family ended meanwhile stays ended. */
export async function resumeCaregivers(
  tx: Transaction,
  caregiverIds: readonly string[],
  lineIds: readonly string[],
): Promise<void> {
  const where = { id: { in: [...caregiverIds] }, lineId: { in: [...lineIds] } }
  await tx.caregiver.updateMany({ where, data: { until: null } })
}

export async function deleteFormerNames(tx: Transaction, nameIds: readonly string[]): Promise<void> {
  await tx.formerName.deleteMany({ where: { id: { in: [...nameIds] } } })
}
