import type { Recall } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'

/** A recall of a lot: prepared by one, sent only after a manager has confirmed it. */
export type RecallOnRecord = Readonly<Recall>

export type NewRecall = Pick<
  RecallOnRecord,
  'id' | 'districtId' | 'lot' | 'vaccine' | 'reason' | 'preparedBy' | 'preparedAt'
>

export async function insertRecall(db: Db, recall: NewRecall): Promise<RecallOnRecord> {
  return db.recall.create({ data: recall })
}

export async function findRecall(db: Db, id: string): Promise<RecallOnRecord | undefined> {
  return (await db.recall.findUnique({ where: { id } })) ?? undefined
}

/** Recalls of a lot in a district, newest first. */
export async function listRecalls(db: Db, districtId: string, lot: string): Promise<RecallOnRecord[]> {
  return db.recall.findMany({ where: { districtId, lot }, orderBy: { preparedAt: 'desc' } })
}

/** Marks a recall as confirmed; false when it was before. */
export async function confirmRecall(
  db: Db,
  id: string,
  { by, at, texts }: { readonly by: string; readonly at: Date; readonly texts: number },
): Promise<boolean> {
  const { count } = await db.recall.updateMany({
    where: { id, confirmedAt: null },
    data: { confirmedBy: by, confirmedAt: at, sentTexts: texts },
  })
  return count === 1
}
