import { z } from 'zod'
import type { Db } from './database.ts'

export interface NewBatchRun {
  readonly id: string
  readonly kind: string
  readonly startedAt: Date
}

export async function insertBatchRun(db: Db, run: NewBatchRun): Promise<void> {
  await db.batchRun.create({ data: run })
}

export interface BatchRunEnd {
  readonly endedAt: Date
  readonly counts: Readonly<Record<string, number>> | null
  /** Why it ended early; null where it did not. */
  readonly trouble: string | null
}

export async function endBatchRun(
  db: Db,
  id: string,
  { endedAt, counts, trouble }: BatchRunEnd,
): Promise<void> {
  await db.batchRun.update({
    where: { id },
    data: { endedAt, trouble, ...(counts === null ? {} : { counts }) },
  })
}

/** A run that found nothing to do leaves no trace. */
export async function forgetBatchRun(db: Db, id: string): Promise<void> {
  await db.batchRun.delete({ where: { id } })
}

const runRow = z.object({
  id: z.string(),
  kind: z.string(),
  startedAt: z.date(),
  endedAt: z.date().nullable(),
  counts: z.record(z.string(), z.number()).nullable(),
  trouble: z.string().nullable(),
})
export type BatchRun = z.output<typeof runRow>

/** The latest runs, newest first. */
export async function listBatchRuns(db: Db, limit: number): Promise<BatchRun[]> {
  const rows = await db.batchRun.findMany({ orderBy: [{ startedAt: 'desc' }, { id: 'desc' }], take: limit })
  return rows.map((row) => runRow.parse(row))
}
