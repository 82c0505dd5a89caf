import { formatCardNumber } from '../card-number.ts'
import { say } from '../texts/phrases.ts'
import type { FoundChild, NamedPlace } from './facts.ts'
import type { Step, StepOf } from './step.ts'
import { birthInWords, go, option } from './view.ts'
import type { Caller, Choice, View } from './view.ts'

/** A child whose card is not at hand: village, name, who fits. */

type Purpose = StepOf<'found'>['purpose']

/** Leads to the search from where a card is asked for. */
export function findOption(purpose: Purpose, { book }: Caller): Choice {
  return option(say(book, 'screen-find-child'), { step: 'find-village', purpose })
}

/** Villages by name; those that come first are the caller's own. */
export function whichVillage(
  { purpose }: StepOf<'find-village'>,
  villages: readonly NamedPlace[],
  { book }: Caller,
): View {
  return {
    text: say(book, 'screen-ask-village'),
    options: villages.map(({ id, name }) => option(name, { step: 'find-name', purpose, villageId: id })),
  }
}

/** The name or a part of it, in any spelling. */
export function askNameOf(step: StepOf<'find-name'>, { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-name'),
    options: [],
    read: (name) => (/\p{L}/u.test(name) ? go({ ...step, step: 'found', name }) : undefined),
  }
}

/** As many as one looks through at a time. */
const CANDIDATES_A_SCREEN = 3

/** Who fits, likeliest first: card, name and birth date, and no more. */
export function found({ purpose }: StepOf<'found'>, children: readonly FoundChild[], caller: Caller): View {
  const { book } = caller
  if (children.length === 0) return { text: say(book, 'screen-found-none'), options: [] }
  return {
    text: say(book, 'screen-found'),
    options: children.map(({ card, child, birthOn }) =>
      option(`${formatCardNumber(card)} ${child} ${birthInWords(caller, birthOn)}`, after(purpose, card)),
    ),
    optionsAScreen: CANDIDATES_A_SCREEN,
  }
}

function after(purpose: Purpose, card: string): Step {
  return purpose === 'doses' ? { step: 'vaccines', card, vaccines: [] } : { step: 'signs', card, signs: [] }
}
