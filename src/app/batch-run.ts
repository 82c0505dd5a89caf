import type { Db } from '../store/database.ts'
import { endBatchRun, forgetBatchRun, insertBatchRun, listBatchRuns } from '../store/batch-runs.ts'
import type { BatchRun } from '../store/batch-runs.ts'
import type { Deps } from './deps.ts'

export type { BatchRun } from '../store/batch-runs.ts'

/** What came of a run, by what it is; zeros are left out. */
export type RunCounts = Readonly<Record<string, number>>

/**
 * Does work on many records and leaves when it began and ended and what came of it. A run without an end died; one
 * that found nothing to do leaves no trace.
 */
export async function batchRun(deps: Deps, kind: string, work: () => Promise<RunCounts>): Promise<RunCounts> {
  const { database, clock, newId } = deps
  const id = newId()
  await insertBatchRun(database.db, { id, kind, startedAt: clock.now() })
  try {
    const counts = Object.fromEntries(Object.entries(await work()).filter(([, count]) => count > 0))
    if (Object.keys(counts).length === 0) await forgetBatchRun(database.db, id)
    else await endBatchRun(database.db, id, { endedAt: clock.now(), counts, trouble: null })
    return counts
  } catch (error) {
    const trouble = error instanceof Error ? error.name : 'failure'
    // The first fault is the one to tell, also where the database is away.
    await endBatchRun(database.db, id, { endedAt: clock.now(), counts: null, trouble }).catch(() => undefined)
    throw error
  }
}

const MOST_SHOWN = 200

/** The latest runs, newest first. */
export function latestRuns(db: Db): Promise<BatchRun[]> {
  return listBatchRuns(db, MOST_SHOWN)
}
