import { formatCardNumber } from '../card-number.ts'
import { say } from '../texts/phrases.ts'
import { noChild, readCardFor, tick, toggled } from './dose-views.ts'
import { findOption } from './find-views.ts'
import type { Step, StepOf } from './step.ts'
import { finalOption, go, option } from './view.ts'
import type { Caller, Move, View } from './view.ts'

/** What was seen after a vaccine. Nothing is diagnosed. */

/** Signs that can be chosen, the gravest first; codes of src/data/reactions/signs.json. */
const MENU_SIGNS = [
  'death',
  'hospital',
  'convulsion',
  'breathing-trouble',
  'face-swelling',
  'not-waking',
  'floppy',
  'cannot-drink',
  'cannot-move',
  'bleeding',
  'crying-long',
  'high-fever',
  'abscess',
  'swollen-glands',
  'rash',
  'fever',
  'at-the-site',
] as const
type MenuSign = (typeof MENU_SIGNS)[number]

const readReactionCard = readCardFor((card) => ({ step: 'signs', card, signs: [] }))

/** Whose reaction it is. */
export function askReactionCard(caller: Caller): View {
  const options = [findOption('reaction', caller)]
  return { text: say(caller.book, 'screen-ask-card'), options, read: readReactionCard }
}

function labels(signs: readonly string[], { book }: Caller): string {
  return MENU_SIGNS.filter((sign) => signs.includes(sign))
    .map((sign) => say(book, `sign-${sign}`))
    .join(', ')
}

/** What was seen, to be ticked. */
export function askSigns(
  { card, signs: ticked }: StepOf<'signs'>,
  child: string | null,
  caller: Caller,
): View {
  const { book } = caller
  if (child === null) return noChild(card, caller, readReactionCard)
  const chosen = (signs: readonly string[]): Move => {
    const here: Step = { step: 'signs', card, signs: [...signs] }
    return signs.length === 0 ? go(here) : go(here, { ...here, step: 'check-signs' })
  }
  return {
    text: `${formatCardNumber(card)} ${child}\n${say(book, 'screen-ask-signs')}`,
    options: [
      ...MENU_SIGNS.map((sign: MenuSign) => tick(say(book, `sign-${sign}`), sign, ticked)),
      ...(ticked.length === 0 ? [] : [{ label: say(book, 'screen-go-on'), move: chosen(ticked) }]),
    ],
    pick: (picked) => chosen(toggled(ticked, picked)),
  }
}

/** The last look; what is serious is told to the district at once. */
export function checkSigns(
  { card, signs }: StepOf<'check-signs'>,
  child: string | null,
  caller: Caller,
): View {
  const { book } = caller
  if (child === null) return noChild(card, caller, readReactionCard)
  const words = labels(signs, caller)
  const act = { act: 'report-reaction', card, words } as const
  return {
    text: say(book, 'screen-signs', { card: formatCardNumber(card), child, words }),
    options: [
      finalOption(say(book, 'screen-save'), { act, signs }),
      option(say(book, 'screen-anew'), { step: 'signs', card, signs: [] }),
    ],
  }
}
