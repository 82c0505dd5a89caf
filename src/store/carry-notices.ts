import type { Day } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { toDate } from './days.ts'

/** Claims the notice of what a post carries to a session; false when it was made before. */
export async function claimCarryNotice(
  db: Db,
  { postId, sessionOn, at }: { readonly postId: string; readonly sessionOn: Day; readonly at: Date },
): Promise<boolean> {
  const data = [{ postId, sessionOn: toDate(sessionOn), toldAt: at }]
  return (await db.carryNotice.createMany({ data, skipDuplicates: true })).count === 1
}
