import type { Day } from '../../core/days/day.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { sendAll, write } from './at-the-phones.ts'
import type { StoryParts } from './at-the-phones.ts'

/** What befalls one vaccinator: a vial for four weeks, and a child that is ill after a visit. */
export interface SafetyStory {
  readonly sessionBegins: (vaccinator: string) => Promise<void>
  readonly childCame: (vaccinator: string, card: string) => void
  readonly evening: (day: Day) => Promise<void>
}

/** Days from the first to the one on which a child is found ill. */
const ILL_AFTER_DAYS = 8

/** The first vial of the district has the number 101. */
const OPENED = 'OPENED FIPV K2203 05/2027'
const DISCARDED = 'DISCARD 101 28 days'

/** The vaccinator is the one who holds the first session. */
export function openSafetyStory(
  parts: StoryParts,
  { from, last }: { readonly from: Day; readonly last: Day },
): SafetyStory {
  let hero: string | undefined
  let lastCard: string | undefined
  let isIllTold = false

  async function tellIllness(vaccinator: string, card: string): Promise<void> {
    isIllTold = true
    const words = `REACTION ${formatCardNumber(card)} fits since noon`
    await write(parts, vaccinator, words, 'always-told')
    // The managers are told at once, and one of them takes it on.
    await sendAll(parts)
    await write(parts, parts.manager, 'SEEN', 'always-told')
  }

  return {
    sessionBegins: async (vaccinator) => {
      if (hero !== undefined) return
      hero = vaccinator
      await write(parts, vaccinator, OPENED, 'always-told')
    },
    childCame: (vaccinator, card) => {
      if (vaccinator === hero) lastCard = card
    },
    evening: async (day) => {
      if (hero === undefined) return
      if (!isIllTold && lastCard !== undefined && day - from >= ILL_AFTER_DAYS)
        await tellIllness(hero, lastCard)
      if (day === last) await write(parts, hero, DISCARDED, 'always-told')
    },
  }
}
