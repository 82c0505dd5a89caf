import { changeChild } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { lockStanding } from '../change-child.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import type { ERASE_ASKERS } from './erase-child.ts'

export interface SharingWish {
  readonly childId: string
  readonly isBarred: boolean
  /** With what authority, as for an erasure; null where nobody wrote it down. */
  readonly askedBy: (typeof ERASE_ASKERS)[number] | null
  readonly by: string
}

/**
 * Keeps a family's wish that other systems are not told of its child, or ends it; each turn, with
 * who asked, is an entry of the record. The district's own register goes on.
 * @throws {Refusal} child-not-found, child-merged
 */
export async function barSharing(
  tx: Transaction,
  deps: Deps,
  { childId, isBarred, askedBy, by }: SharingWish,
): Promise<void> {
  const child = await lockStanding(tx, childId)
  if (child.isSharingBarred === isBarred) return
  const at = deps.clock.now()
  await changeChild(tx, childId, {
    sharingBarredAt: isBarred ? at : null,
    sharingBarredBy: isBarred ? by : null,
  })
  await noteChange(tx, deps, {
    districtId: child.districtId,
    actor: by,
    act: isBarred ? 'bar-sharing' : 'allow-sharing',
    subject: { kind: 'child', id: childId },
    after: { askedBy },
  })
}
