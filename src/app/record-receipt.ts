import type { Transaction } from '../store/database.ts'
import { insertReceipt, matchReceipts } from '../store/receipts.ts'
import type { MatchedText } from '../store/receipts.ts'
import { followText } from '../store/reminders.ts'
import { settleTextOut } from '../store/texts.ts'
import type { Deps } from './deps.ts'
import type { Receipt } from './ports.ts'

/**
 * Stores what the network says became of a text and applies it. It may come before we know the id it speaks of,
 * twice, or never: it is stored first, and looked up again when the id becomes known.
 */
export async function recordReceipt(deps: Deps, receipt: Receipt): Promise<void> {
  await deps.database.transaction(async (tx) => {
    await insertReceipt(tx, {
      id: deps.newId(),
      gateway: receipt.gateway,
      providerId: receipt.providerId,
      state: receipt.state,
      reason: receipt.reason,
      happenedAt: receipt.at,
      receivedAt: deps.clock.now(),
    })
    await matchKnownReceipts(tx, deps, receipt.gateway, [receipt.providerId])
  })
}

/** Applies receipts that are stored for these ids. */
export async function matchKnownReceipts(
  tx: Transaction,
  deps: Deps,
  gateway: string,
  providerIds: readonly string[],
): Promise<void> {
  for (const matched of await matchReceipts(tx, gateway, providerIds)) await apply(tx, deps, matched)
}

async function apply(tx: Transaction, deps: Deps, matched: MatchedText): Promise<void> {
  const status = stateOf(matched.states)
  if (status === null) return
  const at = deps.clock.now()
  const { textOutId, reason } = matched
  await settleTextOut(tx, textOutId, { status, reason, at })
  await followText(tx, textOutId, { status, reason }, at)
}

/** A text has arrived when each of its parts has, and has not when one of them has not. */
function stateOf(states: MatchedText['states']): 'delivered' | 'undelivered' | 'unknown' | null {
  if (states.includes('undelivered')) return 'undelivered'
  if (states.every((state) => state === 'delivered')) return 'delivered'
  return states.every((state) => state === 'delivered' || state === 'unknown') ? 'unknown' : null
}
