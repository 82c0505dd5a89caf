import { checkCardNumber } from '../../core/card-number.ts'
import { Refusal } from '../../core/refusals.ts'
import { changesOfChild } from '../../store/changes.ts'
import type { StoredChange } from '../../store/changes.ts'
import { findChildByCard } from '../../store/children.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'

/** Who saw or changed a child; reading this is noted too. @throws {Refusal} child-not-found */
export async function showRecordOf(deps: Deps, card: string): Promise<StoredChange[]> {
  const { db } = deps.database
  const checked = checkCardNumber(card)
  const child = checked.kind === 'card' ? await findChildByCard(db, checked.number) : undefined
  if (child === undefined)
    throw new Refusal('child-not-found', `There is no child with the card ${card}; check the number.`)
  const entries = await changesOfChild(db, child.id)
  await noteChange(db, deps, {
    districtId: child.districtId,
    actor: 'duebell',
    act: 'view-record',
    subject: { kind: 'child', id: child.id },
  })
  return entries
}
