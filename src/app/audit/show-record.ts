import { checkCardNumber } from '../../core/card-number.ts'
import type { Child } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { changesOfChild } from '../../store/changes.ts'
import type { StoredChange } from '../../store/changes.ts'
import { findChildByCard } from '../../store/children.ts'
import type { Db } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'

/** Who saw or changed a child; reading this is noted too. @throws {Refusal} child-not-found */
export async function showRecordOf(deps: Deps, card: string): Promise<StoredChange[]> {
  const { db } = deps.database
  const child = await childWithCard(db, card)
  const entries = await changesOfChild(db, child.id)
  await noteChange(db, deps, {
    districtId: child.districtId,
    actor: 'duebell',
    act: 'view-record',
    subject: { kind: 'child', id: child.id },
  })
  return entries
}

/** The child with this card, as somebody typed it. @throws {Refusal} child-not-found */
export async function childWithCard(db: Db, card: string): Promise<Child> {
  const checked = checkCardNumber(card)
  const child = checked.kind === 'card' ? await findChildByCard(db, checked.number) : undefined
  if (child !== undefined) return child
  throw new Refusal('child-not-found', `There is no child with the card ${card}; check the number.`)
}
