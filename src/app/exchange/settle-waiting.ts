import { SYSTEM } from '../../core/exchange/systems.ts'
import { numbersOfChild } from '../../store/child-numbers.ts'
import { getChild } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { claimStatements } from '../../store/stated-doses.ts'
import { addChildNumbers } from '../add-child-numbers.ts'
import type { NumbersGiven } from '../add-child-numbers.ts'
import type { Deps } from '../deps.ts'
import { settleIfDose } from './take-dose.ts'

/** Settles the doses that came before their child, whichever of its numbers they name. */
export async function settleWaiting(tx: Transaction, deps: Deps, childId: string): Promise<void> {
  const { cardNumber, districtId } = await getChild(tx, childId)
  const numbers = [...(await numbersOfChild(tx, childId)), { issuer: SYSTEM.card, number: cardNumber }]
  for (const number of numbers) {
    const claimed = await claimStatements(tx, { id: childId, districtId, ...number })
    for (const statement of claimed) await settleIfDose(tx, deps, statement)
  }
}

/** Gives a child numbers by hand; doses that waited for one of them are on record then. */
export async function linkNumbers(tx: Transaction, deps: Deps, given: NumbersGiven): Promise<void> {
  await addChildNumbers(tx, deps, given)
  await settleWaiting(tx, deps, given.childId)
}
