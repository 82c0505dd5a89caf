import { MANUAL_CARD, OTHER_MANUAL_CARD } from '../core/card-number.ts'
import { cardNumberOf } from '../core/children/card-serial.ts'
import type { Transaction } from '../store/database.ts'
import { findRegistered, nextCardSerials } from '../store/register.ts'

/** Cards in examples: somebody will send one as it stands, so no child has it. */
const SAMPLES: ReadonlySet<string> = new Set([MANUAL_CARD, OTHER_MANUAL_CARD])

/** Card numbers that no child has, never made twice. */
export async function makeCards(tx: Transaction, howMany: number): Promise<string[]> {
  const cards: string[] = []
  while (cards.length < howMany) {
    const made = (await nextCardSerials(tx, howMany - cards.length)).map(cardNumberOf)
    const known = await findRegistered(tx, { cardNumbers: made, born: [] })
    const taken = new Set(known.map((child) => child.cardNumber))
    cards.push(...made.filter((card) => !taken.has(card) && !SAMPLES.has(card)))
  }
  return cards
}
