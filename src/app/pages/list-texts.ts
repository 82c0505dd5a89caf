/** A follow list as texts for the vaccinator who walks it. */
import { formatCardNumber } from '../../core/card-number.ts'
import type { Day } from '../../core/days/day.ts'
import type { District } from '../../core/model.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import { say } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { sayDay } from '../../core/texts/say-day.ts'
import type { FollowLine, FollowList } from './follow-lists.ts'

/** Lines of a list in one text. */
const LINES_A_TEXT = 8

/** Lists whose lines say the day of a visit to come. */
const IS_OF_A_VISIT: ReadonlySet<FollowList> = new Set(['due', 'to-tell'])

export interface ListTextsAsked {
  readonly list: FollowList
  readonly district: District
  readonly village: string
  readonly lines: readonly FollowLine[]
  /** The last day a list of expected visits looks at. */
  readonly until: Day
  readonly book: PhraseBook
}

/** One village's children of a list, in as many texts as it takes; texts overtake each other, so each says its place. */
export function listTexts({ list, district, village, lines, until, book }: ListTextsAsked): string[] {
  const style = { language: book.language, calendar: district.calendar }
  const facts = { place: village, count: lines.length }
  const head = {
    due: () => say(book, 'expected-list', { ...facts, day: sayDay(until, style) }),
    'to-tell': () => say(book, 'tell-list', facts),
    missed: () => say(book, 'missed-list', facts),
    'long-missed': () => say(book, 'missed-list', facts),
    'zero-dose': () => say(book, 'zero-dose-list', facts),
    'moved-in': () => say(book, 'newcomer-list', facts),
  }[list]()
  const said = lines.map(({ cardNumber, name, wanted, on }) => {
    const who = { card: formatCardNumber(cardNumber), child: labelChild(name, district.childNaming) }
    if (wanted.length === 0) return say(book, 'list-name', who)
    const doses = wanted.join(', ')
    return say(book, 'list-line', {
      ...who,
      doses: IS_OF_A_VISIT.has(list) ? `${sayDay(on, style)}, ${doses}` : doses,
    })
  })
  const pages = Math.ceil(said.length / LINES_A_TEXT)
  return Array.from({ length: pages }, (_, page) =>
    [
      pages === 1 ? head : `${head} (${page + 1}/${pages})`,
      ...said.slice(page * LINES_A_TEXT, (page + 1) * LINES_A_TEXT),
    ].join('\n'),
  )
}
