import type { Db } from './database.ts'

/** Plain values of a record before or after a change. */
export type Facts = Readonly<Record<string, string | number | boolean | null>>

export interface NewChange {
  readonly id: string
  readonly districtId: string | null
  readonly happenedAt: Date
  readonly actor: string
  readonly act: string
  readonly subjectKind: string
  /** Null: an address of the service, no record. */
  readonly subjectId: string | null
  readonly before: Facts | null
  readonly after: Facts | null
  /** Children that were told of, beside the subject. */
  readonly childIds: readonly string[]
}

export async function insertChange(db: Db, change: NewChange): Promise<void> {
  const { before, after, childIds, ...rest } = change
  await db.change.create({
    data: {
      ...rest,
      childIds: [...childIds],
      ...(before === null ? {} : { before }),
      ...(after === null ? {} : { after }),
    },
  })
}

/** What was done to or seen of a child, by itself or among others, oldest first. */
export async function changesOfChild(db: Db, childId: string): Promise<StoredChange[]> {
  const rows = await db.change.findMany({
    where: { OR: [{ subjectId: childId }, { childIds: { has: childId } }] },
    orderBy: [{ happenedAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map(storedChange)
}

export interface StoredChange extends Omit<NewChange, 'before' | 'after'> {
  readonly before: unknown
  readonly after: unknown
}

function storedChange(row: StoredChange): StoredChange {
  const { id, districtId, happenedAt, actor, act, subjectKind, subjectId, before, after, childIds } = row
  return { id, districtId, happenedAt, actor, act, subjectKind, subjectId, before, after, childIds }
}

export async function getChanges(db: Db, ids: readonly string[]): Promise<StoredChange[]> {
  return (await db.change.findMany({ where: { id: { in: [...ids] } } })).map(storedChange)
}
