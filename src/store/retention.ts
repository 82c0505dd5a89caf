/** What is kept for a term: how much of it is past that, and its end, a batch at a time. */
import type { Day } from '../core/days/day.ts'
import type { RetentionKind } from '../core/retention/terms.ts'
import type { Prisma } from '../generated/prisma/client.ts'
import type { Db, Transaction } from './database.ts'
import { toDate } from './days.ts'
import { emptyTexts } from './erasure.ts'

/** Of one district, or of none; what is older than an instant. */
export interface Past {
  readonly districtId: string | null
  readonly before: Date
}

interface Kept {
  readonly count: (db: Db, past: Past) => Promise<number>
  /** Ends so many at most; answers how many. */
  readonly end: (tx: Transaction, past: Past, atMost: number, at: Date) => Promise<number>
}

export type KindOfRows = Exclude<RetentionKind, 'closedChildren' | 'grownChildren'>

const textsOut = (purpose: Prisma.StringFilter): Kept => {
  const past = ({ districtId, before }: Past): Prisma.TextOutWhereInput => ({
    districtId,
    createdAt: { lt: before },
    emptiedAt: null,
    status: { notIn: ['waiting', 'sending'] },
    purpose,
  })
  return {
    count: (db, which) => db.textOut.count({ where: past(which) }),
    end: async (tx, which, take, at) => {
      const rows = await tx.textOut.findMany({ where: past(which), select: { id: true }, take })
      return emptyTexts(tx, { in: [], out: rows.map(({ id }) => id) }, at)
    },
  }
}

const textsIn: Kept = {
  count: (db, which) => db.textIn.count({ where: textsInPast(which) }),
  end: async (tx, which, take, at) => {
    const rows = await tx.textIn.findMany({ where: textsInPast(which), select: { id: true }, take })
    return emptyTexts(tx, { in: rows.map(({ id }) => id), out: [] }, at)
  },
}

const textsInPast = ({ districtId, before }: Past): Prisma.TextInWhereInput => ({
  districtId,
  receivedAt: { lt: before },
  emptiedAt: null,
})

const signIns: Kept = {
  count: async (db, past) =>
    (await db.signInCode.count({ where: codesPast(past) })) +
    (await db.signInLink.count({ where: codesPast(past) })) +
    (await db.pageSession.count({ where: codesPast(past) })),
  end: async (tx, past) =>
    (await tx.signInCode.deleteMany({ where: codesPast(past) })).count +
    (await tx.signInLink.deleteMany({ where: codesPast(past) })).count +
    (await tx.pageSession.deleteMany({ where: codesPast(past) })).count,
}

const codesPast = ({ before }: Past) => ({ expiresAt: { lt: before } })

const webhookCalls: Kept = {
  count: (db, past) => db.webhookCall.count({ where: callsPast(past) }),
  end: async (tx, past, take) => {
    const rows = await tx.webhookCall.findMany({ where: callsPast(past), select: { id: true }, take })
    return (await tx.webhookCall.deleteMany({ where: { id: { in: rows.map(({ id }) => id) } } })).count
  },
}

/** Dead calls stay until somebody has looked. */
const callsPast = ({ districtId, before }: Past): Prisma.WebhookCallWhereInput => ({
  status: 'delivered',
  settledAt: { lt: before },
  ...(districtId === null ? { id: { in: [] } } : { districtId }),
})

const keptAnswers: Kept = {
  count: (db, { before }) => db.idempotencyKey.count({ where: { createdAt: { lt: before } } }),
  end: async (tx, { before }, take) => {
    const rows = await tx.idempotencyKey.findMany({
      where: { createdAt: { lt: before } },
      select: { tokenId: true, key: true },
      take,
    })
    return rows.length === 0 ? 0 : (await tx.idempotencyKey.deleteMany({ where: { OR: rows } })).count
  },
}

const runs: Kept = {
  count: (db, { before }) => db.batchRun.count({ where: { startedAt: { lt: before } } }),
  end: async (tx, { before }) =>
    (await tx.batchRun.deleteMany({ where: { startedAt: { lt: before } } })).count,
}

/** Each kind of row that ends by its term. */
export const KEPT: Readonly<Record<KindOfRows, Kept>> = {
  textsIn,
  reminders: textsOut({ equals: 'reminder' }),
  replies: textsOut({ not: 'reminder' }),
  webhookCalls,
  signIns,
  keptAnswers,
  runs,
}

/** Which children of a district are past their term. */
export type ChildrenPast =
  | { readonly districtId: string; readonly closedBefore: Day }
  | { readonly districtId: string; readonly bornBefore: Day }

const childrenWhere = (past: ChildrenPast): Prisma.ChildWhereInput => ({
  districtId: past.districtId,
  erasedAt: null,
  mergedInto: null,
  ...('bornBefore' in past
    ? { birthOn: { lt: toDate(past.bornBefore) } }
    : { status: { notIn: ['active', 'away'] }, statusOn: { lt: toDate(past.closedBefore) } }),
})

export function countChildrenPast(db: Db, past: ChildrenPast): Promise<number> {
  return db.child.count({ where: childrenWhere(past) })
}

/** Whether a child is still past its term. */
export async function isChildPast(db: Db, past: ChildrenPast, id: string): Promise<boolean> {
  return (await db.child.count({ where: { ...childrenWhere(past), id } })) > 0
}

export async function listChildrenPast(db: Db, past: ChildrenPast, take: number): Promise<string[]> {
  const where = childrenWhere(past)
  const rows = await db.child.findMany({ where, select: { id: true }, orderBy: { id: 'asc' }, take })
  return rows.map(({ id }) => id)
}
