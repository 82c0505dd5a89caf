import { mentionsIn } from '../../core/children/mentions-in.ts'
import { childrenAmong } from '../../store/children.ts'
import type { Db } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import type { Change } from '../note-change.ts'

/** Children of one entry; a whole register takes several. */
const MOST = 1000

/**
 * Keeps who was handed what, and of which children it tells: those whose identifier or card stands in it. One place for
 * pages, files, answers and texts, so that none can forget whom it named. What belongs to no district is kept only where
 * it tells of children.
 */
export async function noteHandedOut(db: Db, deps: Deps, change: Change, words: string): Promise<void> {
  const told = (await childrenAmong(db, mentionsIn(words))).filter((id) => id !== change.subject.id)
  if (change.districtId === null && told.length === 0) return
  for (let from = 0; from === 0 || from < told.length; from += MOST)
    await noteChange(db, deps, { ...change, childIds: told.slice(from, from + MOST) })
}
