import { z } from 'zod'
import type { Db } from '../../store/database.ts'
import { linesOfOthers, recordsOf, rowsHeld } from '../../store/held.ts'
import type { RowsHeld } from '../../store/held.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { districtOfChild } from '../views.ts'
import { textsAbout } from './texts-about.ts'

/** Everything about one child but its texts. */
export interface Held {
  readonly ids: readonly string[]
  readonly rows: RowsHeld
  /** Numbers that no other child's family and no worker has. */
  readonly ownNumbers: readonly string[]
}

export async function readHeld(db: Db, childId: string): Promise<Held> {
  const ids = await recordsOf(db, childId)
  const rows = await rowsHeld(db, ids)
  const numbers = [...new Set(rows.caregivers.map(({ line }) => line.number))]
  const shared = await linesOfOthers(db, ids, numbers)
  return { ids, rows, ownNumbers: numbers.filter((number) => !shared.has(number)) }
}

const plainRows = z.record(z.string(), z.array(z.record(z.string(), z.json())))
export type PlainRows = z.infer<typeof plainRows>

/**
 * All that is held of a child, for its family: every row as the tables have it. Of a phone that also serves another
 * child, only the texts about this one. Who asked is noted.
 * @throws {Refusal} child-not-found
 */
export async function everythingHeld(
  db: Db,
  deps: Deps,
  { childId, by }: { readonly childId: string; readonly by: string },
): Promise<PlainRows> {
  const districtId = await districtOfChild(db, childId)
  const { rows, ownNumbers } = await readHeld(db, childId)
  const texts = await textsAbout(db, rows, new Set(ownNumbers))
  const subject = { kind: 'child', id: childId }
  await noteChange(db, deps, { districtId, actor: by, act: 'hand-out-everything', subject })
  return plainRows.parse(JSON.parse(JSON.stringify({ ...rows, textsIn: texts.came, textsOut: texts.went })))
}
