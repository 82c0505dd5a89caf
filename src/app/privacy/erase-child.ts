import type { Transaction } from '../../store/database.ts'
import {
  eraseBelongings,
  eraseNumber,
  eraseRecords,
  eraseTexts,
  turnRemindersAway,
} from '../../store/erasure.ts'
import { insertErasureSearch } from '../../store/erasure-searches.ts'
import { textsOf } from '../../store/held.ts'
import { withdrawReminders } from '../../store/reminders.ts'
import { lockStanding } from '../change-child.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { refreshPlan } from '../refresh-plan.ts'
import { readHeld } from './everything-held.ts'
import type { Held } from './everything-held.ts'
import { districtsOf, heldSince, ledTo, marksOf } from './texts-about.ts'

/** Codes, not words: the record of changes is never altered and names nobody. */
export const ERASE_REASONS = ['family-asked', 'never-agreed', 'law-requires'] as const
export const ERASE_ASKERS = ['mother', 'father', 'guardian', 'grown-child', 'authority'] as const

export interface Erasure {
  readonly childId: string
  /** A term that is over is asked for by nobody. */
  readonly reason: (typeof ERASE_REASONS)[number] | 'term-over'
  readonly askedBy: (typeof ERASE_ASKERS)[number] | 'nobody'
  readonly by: string
}

/** What went. */
export interface Erased {
  readonly records: number
  /** Those that an index leads to; the others go with the search. */
  readonly texts: number
  /** Phone numbers that are nobody's now; those that serve another child stay. */
  readonly numbers: number
}

/**
 * Removes who a child was, for good: names, phones, words and texts. Doses, birth, sex and village stay without a name,
 * so that every figure stays as it was; the card number is never given again and leads nowhere. What only its words tell
 * of the child is left to {@link searchErased}, so that this takes as long in a district of any size.
 * @throws {Refusal} child-not-found, child-merged
 */
export async function eraseChild(tx: Transaction, deps: Deps, erasure: Erasure): Promise<Erased> {
  const { reason, askedBy, by } = erasure
  const child = await lockStanding(tx, erasure.childId)
  const at = deps.clock.now()
  const held = await readHeld(tx, child.id)
  await withdrawReminders(tx, { childId: child.id }, { reason: 'erased', at })
  await eraseRecords(tx, held.ids, at)
  await refreshPlan(tx, deps, child.id)
  const texts = await textsOf(tx, { ids: [...ledTo(held.rows)], numbers: held.ownNumbers })
  await eraseTexts(tx, texts, at)
  await erasePhones(tx, deps, held)
  await eraseBelongings(tx, held.ids, { by, at })
  // Long closed: the last texts that name it have terms of their own.
  if (reason !== 'term-over') await searchLater(tx, deps, held)
  await noteChange(tx, deps, {
    districtId: child.districtId,
    actor: by,
    act: 'erase',
    subject: { kind: 'child', id: child.id },
    after: { reason, askedBy },
  })
  return {
    records: held.ids.length,
    texts: texts.in.length + texts.out.length,
    numbers: held.ownNumbers.length,
  }
}

/** Texts that name the child and kept answers about it are opened batch by batch when the rest is gone. */
function searchLater(tx: Transaction, deps: Deps, { ids, rows }: Held): Promise<void> {
  return insertErasureSearch(tx, {
    id: deps.newId(),
    districtIds: districtsOf(rows),
    marks: { ...marksOf(rows), ids },
    since: heldSince(rows),
    askedAt: deps.clock.now(),
  })
}

/** Numbers of this family alone go; on one that others use, what was sent about this child leads there no more. */
async function erasePhones(tx: Transaction, deps: Deps, { ids, rows, ownNumbers }: Held): Promise<void> {
  const at = deps.clock.now()
  for (const number of ownNumbers) await eraseNumber(tx, number, at)
  const kept = rows.caregivers.filter(({ line }) => !ownNumbers.includes(line.number))
  for (const lineId of new Set(kept.map((caregiver) => caregiver.lineId)))
    await turnRemindersAway(tx, ids, { lineId, nobodysId: deps.newId(), at })
}
