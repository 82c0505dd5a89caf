import { changeChild } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { lockStanding } from '../change-child.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'

/**
 * Keeps a family's wish that other systems are not told of its child, or ends it. The district's own register goes on.
 * @throws {Refusal} child-not-found, child-merged
 */
export async function barSharing(
  tx: Transaction,
  deps: Deps,
  { childId, isBarred, by }: { readonly childId: string; readonly isBarred: boolean; readonly by: string },
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
  })
}
