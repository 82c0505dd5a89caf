import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'
import { statement } from './statements.ts'

/** A dose that was due and not given, with the coded reason. */
export interface NewDoseNotGiven {
  readonly id: string
  readonly districtId: string
  readonly childId: string
  /** Null: all that was due. */
  readonly vaccine: string | null
  readonly reason: string
  readonly notedOn: Day
  readonly notedBy: string
  readonly textInId: string | null
  readonly createdAt: Date
}

export async function insertDosesNotGiven(db: Db, records: readonly NewDoseNotGiven[]): Promise<void> {
  await db.doseNotGiven.createMany({
    data: records.map((record) => ({ ...record, notedOn: toDate(record.notedOn) })),
  })
}

/** The children and vaccines of some records; a null vaccine is all that was due. */
export async function findDosesNotGiven(
  db: Db,
  ids: readonly string[],
): Promise<{ readonly childId: string; readonly vaccine: string | null }[]> {
  const where = { id: { in: [...ids] } }
  return db.doseNotGiven.findMany({ where, select: { childId: true, vaccine: true } })
}

/** Takes records back; answers the children they were about, each once. */
export async function withdrawDosesNotGiven(db: Db, ids: readonly string[], at: Date): Promise<string[]> {
  const where = { id: { in: [...ids] } }
  await db.doseNotGiven.updateMany({ where, data: { withdrawnAt: at } })
  const rows = await db.doseNotGiven.findMany({ where, select: { childId: true }, distinct: ['childId'] })
  return rows.map(({ childId }) => childId)
}

const unwantedRows = statement('list-unwanted-vaccines', z.object({ vaccine: z.string().nullable() }))

/** Vaccines a family does not want, or a child may not have, and has not had since; `null` stands for all. */
export async function unwantedVaccines(db: Db, childId: string): Promise<ReadonlySet<string | null>> {
  return new Set((await unwantedRows(db, childId)).map((row) => row.vaccine))
}

/** The last day on which a child was seen and something was not given. */
export async function lastNotGivenOn(db: Db, childId: string): Promise<Day | null> {
  const row = await db.doseNotGiven.findFirst({
    where: { childId, withdrawnAt: null },
    orderBy: { notedOn: 'desc' },
    select: { notedOn: true },
  })
  return row === null ? null : fromDate(row.notedOn)
}

export async function insertFormerName(
  db: Db,
  former: { readonly id: string; readonly childId: string; readonly name: string; readonly until: Date },
): Promise<void> {
  await db.formerName.create({ data: former })
}

export type ReviewKind = z.infer<typeof reviewKind>

const reviewKind = z.enum([
  'parent-text',
  'double',
  'dose-twice',
  'failing-number',
  'other-register',
  'many-doses',
  'far-places',
])

/** Something a person has to look at. */
export interface NewReviewItem {
  readonly id: string
  readonly districtId: string
  readonly kind: ReviewKind
  readonly childId: string | null
  readonly otherChildId: string | null
  readonly lineId: string | null
  readonly textInId: string | null
  readonly note: string | null
  readonly createdAt: Date
}

export async function insertReviewItem(db: Db, item: NewReviewItem): Promise<void> {
  await db.reviewItem.create({ data: item })
}

/** Whether this was put before a person already, be it open or done. */
export async function hasReviewItem(
  db: Db,
  { childId, kind, note }: { readonly childId: string; readonly kind: ReviewKind; readonly note: string },
): Promise<boolean> {
  // Notes are sealed, so the database cannot compare them.
  const rows = await db.reviewItem.findMany({ where: { childId, kind }, select: { note: true } })
  return rows.some((row) => row.note === note)
}

const itemShape = z.object({
  id: z.string(),
  kind: reviewKind,
  childId: z.string().nullable(),
  otherChildId: z.string().nullable(),
  lineId: z.string().nullable(),
  textInId: z.string().nullable(),
  note: z.string().nullable(),
  createdAt: z.date(),
})

/** Something that waits for a person, with the words that were sent where a text is behind it. */
export interface ReviewItem extends z.infer<typeof itemShape> {
  readonly words: string | null
}

/** What waits for a person in a district, longest waiting first. */
export async function listReviewItems(db: Db, districtId: string, limit: number): Promise<ReviewItem[]> {
  const rows = await db.reviewItem.findMany({
    where: { districtId, closedAt: null },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    take: limit,
  })
  const items = rows.map((row) => itemShape.parse(row))
  const textIds = items.flatMap(({ textInId }) => textInId ?? [])
  const texts = await db.textIn.findMany({ where: { id: { in: textIds } }, select: { id: true, body: true } })
  return items.map((item) => ({ ...item, words: texts.find(({ id }) => id === item.textInId)?.body ?? null }))
}

export interface ReviewClosing {
  readonly id: string
  readonly districtId: string
  readonly by: string
  readonly outcome: string
  readonly at: Date
}

/** Takes an item off the list; false when the district has none such, or someone did so before. */
export async function closeReviewItem(
  db: Db,
  { id, districtId, by, outcome, at }: ReviewClosing,
): Promise<boolean> {
  const { count } = await db.reviewItem.updateMany({
    where: { id, districtId, closedAt: null },
    data: { closedAt: at, closedBy: by, outcome },
  })
  return count === 1
}
