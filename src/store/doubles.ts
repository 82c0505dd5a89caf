import { z } from 'zod'
import type { Reason } from '../core/children/compare-children.ts'
import { formatDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { Db, Transaction } from './database.ts'
import { statement } from './statements.ts'

/** Pairs of records that may be of one child, pairs of doses that may be one: found, kept, settled. */

const toCompare = statement('list-children-to-compare', z.object({ id: z.string() }))

/** Children to compare with others, held for the rest of the transaction. */
export async function takeChildrenToCompare(
  tx: Transaction,
  districtId: string,
  limit: number,
): Promise<string[]> {
  return (await toCompare(tx, districtId, limit)).map(({ id }) => id)
}

export async function markCompared(db: Db, ids: readonly string[]): Promise<void> {
  await db.child.updateMany({ where: { id: { in: [...ids] } }, data: { isCompared: true } })
}

/** Has all children of a district compared again by the next rounds; answers how many. */
export async function compareAllAgain(db: Db, districtId: string): Promise<number> {
  const { count } = await db.child.updateMany({
    where: { districtId, erasedAt: null, status: { notIn: ['duplicate', 'entered-in-error'] } },
    data: { isCompared: false },
  })
  return count
}

const Pair = z
  .object({ one_id: z.string(), other_id: z.string() })
  .transform(({ one_id, other_id }) => ({ oneId: one_id, otherId: other_id }))
export type Pair = z.output<typeof Pair>
const suspects = statement('list-double-suspects', Pair)

export interface SuspectQuestion {
  readonly districtId: string
  readonly childIds: readonly string[]
  readonly sameVillageDays: number
  readonly sameDistrictDays: number
  readonly slips: readonly { readonly childId: string; readonly birthOn: Day }[]
}

/** Who stands near whom; the lesser identifier first. */
export function listSuspects(db: Db, question: SuspectQuestion): Promise<Pair[]> {
  const { districtId, childIds, sameVillageDays, sameDistrictDays, slips } = question
  const days = slips.map(({ childId, birthOn }) => ({ childId, birthOn: formatDay(birthOn) }))
  return suspects(db, districtId, [...childIds], sameVillageDays, sameDistrictDays, JSON.stringify(days))
}

const reasons = z.array(
  z.object({
    fact: z.enum(['name', 'birth', 'village', 'phone', 'sex']),
    says: z.string(),
    points: z.number(),
  }),
) satisfies z.ZodType<readonly Reason[]>

const doubleShape = z.object({
  id: z.string(),
  districtId: z.string(),
  kind: z.enum(['double', 'dose-twice']),
  childId: z.string(),
  otherChildId: z.string().nullable(),
  doseId: z.string().nullable(),
  otherDoseId: z.string().nullable(),
  points: z.number().nullable(),
  reasons: reasons.nullable(),
  factsDigest: z.string().nullable(),
  raisedBy: z.string().nullable(),
  comment: z.string().nullable(),
  createdAt: z.date(),
  closedAt: z.date().nullable(),
  closedBy: z.string().nullable(),
  outcome: z.string().nullable(),
})
/** A pair that waits for a person, or waited. */
export type Double = z.infer<typeof doubleShape>

export async function findDouble(db: Db, id: string): Promise<Double | undefined> {
  const row = await db.reviewItem.findFirst({ where: { id, kind: { in: ['double', 'dose-twice'] } } })
  return row === null ? undefined : doubleShape.parse(row)
}

/** Doubles of a district: those that wait, likeliest first, or those that were settled, newest first. */
export async function listDoubles(
  db: Db,
  districtId: string,
  { isSettled, limit }: { readonly isSettled: boolean; readonly limit: number },
): Promise<Double[]> {
  const rows = await db.reviewItem.findMany({
    where: {
      districtId,
      kind: { in: ['double', 'dose-twice'] },
      closedAt: isSettled ? { not: null } : null,
    },
    orderBy: isSettled
      ? [{ closedAt: 'desc' }, { id: 'asc' }]
      : [{ points: { sort: 'desc', nulls: 'first' } }, { createdAt: 'asc' }, { id: 'asc' }],
    take: limit,
  })
  return rows.map((row) => doubleShape.parse(row))
}

/** What was said of two children before, newest first. */
export async function doublesOfPair(db: Db, { oneId, otherId }: Pair): Promise<Double[]> {
  const rows = await db.reviewItem.findMany({
    where: { kind: 'double', childId: oneId, otherChildId: otherId },
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
  })
  return rows.map((row) => doubleShape.parse(row))
}

/** The item that waits for two doses. */
export async function waitingDosesOf(db: Db, oneId: string, otherId: string): Promise<Double | undefined> {
  const both = { in: [oneId, otherId] }
  const row = await db.reviewItem.findFirst({
    where: { kind: 'dose-twice', closedAt: null, doseId: both, otherDoseId: both },
  })
  return row === null ? undefined : doubleShape.parse(row)
}

export interface NewDouble {
  readonly id: string
  readonly districtId: string
  readonly kind: 'double' | 'dose-twice'
  readonly childId: string
  readonly otherChildId: string | null
  readonly doseId: string | null
  readonly otherDoseId: string | null
  readonly points: number | null
  readonly reasons: readonly Reason[] | null
  readonly factsDigest: string | null
  readonly raisedBy: string | null
  readonly comment: string | null
  readonly createdAt: Date
}

/** Keeps a pair for a person; one that waits already stays as it is. */
export async function insertDouble(db: Db, { reasons: because, ...given }: NewDouble): Promise<void> {
  const data = {
    ...given,
    ...(because === null ? {} : { reasons: because.map((reason) => ({ ...reason })) }),
  }
  await db.reviewItem.createMany({ data: [data], skipDuplicates: true })
}

export interface Settlement {
  readonly outcome: 'merged' | 'not-double' | 'one-dose' | 'no-longer'
  readonly by: string
  readonly comment: string | null
  readonly at: Date
  readonly factsDigest?: string
}

/** Takes a pair off the list; false when somebody did so before. */
export async function settleDouble(db: Db, id: string, settlement: Settlement): Promise<boolean> {
  const { outcome, by, comment, at, factsDigest } = settlement
  const { count } = await db.reviewItem.updateMany({
    where: { id, closedAt: null },
    data: {
      closedAt: at,
      closedBy: by,
      outcome,
      ...(comment === null ? {} : { comment }),
      ...(factsDigest === undefined ? {} : { factsDigest }),
    },
  })
  return count === 1
}

/** Takes every pair with a child off the list: its record no longer stands by itself. */
export async function settleDoublesOf(db: Db, childId: string, settlement: Settlement): Promise<void> {
  const { outcome, by, at } = settlement
  await db.reviewItem.updateMany({
    where: { kind: 'double', closedAt: null, OR: [{ childId }, { otherChildId: childId }] },
    data: { closedAt: at, closedBy: by, outcome },
  })
}

const TwiceRow = z
  .object({ child_id: z.string(), one_id: z.string(), other_id: z.string() })
  .transform((row) => ({ childId: row.child_id, oneId: row.one_id, otherId: row.other_id }))
const twiceRows = statement('list-doses-twice', TwiceRow)

const closedPairs = statement('close-dose-doubles', z.object({ id: z.string() }))

/** Takes pairs off the list of which one dose was withdrawn since. */
export async function closePairsOfWithdrawn(db: Db, districtId: string, at: Date): Promise<void> {
  await closedPairs(db, districtId, at)
}

/** How many pairs of a kind were settled in one way. */
export interface SettledCount {
  readonly kind: Double['kind']
  readonly outcome: string
  readonly pairs: number
}

/** What came of all the pairs of a district that were settled. */
export async function countSettled(db: Db, districtId: string): Promise<SettledCount[]> {
  const rows = await db.reviewItem.groupBy({
    by: ['kind', 'outcome'],
    where: { districtId, kind: { in: ['double', 'dose-twice'] }, closedAt: { not: null } },
    _count: true,
    orderBy: [{ kind: 'asc' }, { outcome: 'asc' }],
  })
  return rows.map(({ kind, outcome, _count }) => ({
    kind: doubleShape.shape.kind.parse(kind),
    outcome: outcome ?? '',
    pairs: _count,
  }))
}

export interface TwiceQuestion {
  readonly districtId: string
  readonly withinDays: number
  readonly since: Date
  readonly limit: number
}

export function listDosesTwice(db: Db, question: TwiceQuestion): Promise<z.output<typeof TwiceRow>[]> {
  return twiceRows(db, question.districtId, question.withinDays, question.since, question.limit)
}
