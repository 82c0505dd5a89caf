import type { ChildNumber } from '../core/exchange/patient-out.ts'
import { Refusal } from '../core/refusals.ts'
import { findChildIdsByNumbers, insertChildNumbers } from '../store/child-numbers.ts'
import { getChild, standingFor } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { refuseErased } from './child-facts.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export interface NumbersGiven {
  readonly childId: string
  readonly numbers: readonly ChildNumber[]
  readonly by: string
}

/**
 * Gives a child numbers beyond that of its card; those it has stay, and all of them find it.
 * @throws {Refusal} child-not-found, number-taken
 */
export async function addChildNumbers(tx: Transaction, deps: Deps, given: NumbersGiven): Promise<void> {
  const { numbers, by } = given
  const record = refuseErased(await getChild(tx, given.childId))
  const { id: childId, districtId } = await standingFor(tx, record)
  const since = deps.clock.now()
  const added = await insertChildNumbers(
    tx,
    numbers.map((number) => ({ ...number, childId, since })),
  )
  const holders = await findChildIdsByNumbers(tx, numbers)
  if (holders.some((holder) => holder !== childId)) {
    throw new Refusal('number-taken', 'One of these numbers belongs to another child; check who has it.')
  }
  if (added === 0) return
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'add-numbers',
    subject: { kind: 'child', id: childId },
    after: { issuers: numbers.map(({ issuer }) => issuer).join(' ') },
  })
}
