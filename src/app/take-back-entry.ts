import type { Transaction } from '../store/database.ts'
import type { Effect } from '../store/effects.ts'
import { voidReading } from '../store/cold-chain.ts'
import { voidStockEntry } from '../store/stock.ts'
import { voidReaction } from '../store/reactions.ts'
import { voidVial } from '../store/vials.ts'
import type { Deps } from './deps.ts'
import { takeBackThrowing } from './vials/discard-vial.ts'

/** Takes back one entry beside the register; the record stays readable, marked. */
export async function takeBackEntry(
  tx: Transaction,
  deps: Deps,
  { kind, id }: Effect['entries'][number],
): Promise<void> {
  switch (kind) {
    case 'vial':
      return voidVial(tx, id, deps.clock.now())
    case 'discard':
      return takeBackThrowing(tx, deps, id)
    case 'reaction':
      return voidReaction(tx, id, deps.clock.now())
    case 'temperature':
      return voidReading(tx, id, deps.clock.now())
    case 'stock':
      return voidStockEntry(tx, id, deps.clock.now())
  }
}
