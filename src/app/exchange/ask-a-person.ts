import type { Db } from '../../store/database.ts'
import { hasReviewItem, insertReviewItem } from '../../store/follow-up.ts'
import type { Deps } from '../deps.ts'

export interface Disagreement {
  readonly districtId: string
  readonly childId: string
  readonly note: string
}

/** Puts a disagreement with another register before a person, once. */
export async function askAPerson(db: Db, deps: Deps, found: Disagreement): Promise<void> {
  const item = { ...found, kind: 'other-register' as const }
  if (await hasReviewItem(db, item)) return
  await insertReviewItem(db, {
    ...item,
    id: deps.newId(),
    otherChildId: null,
    lineId: null,
    textInId: null,
    createdAt: deps.clock.now(),
  })
}
