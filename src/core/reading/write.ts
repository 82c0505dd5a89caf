import { formatCardNumber } from '../card-number.ts'
import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Act, ActName, SingleAct, TypedDose } from './act.ts'
import type { KeywordBook } from './keyword-book.ts'

type OfAct<Name extends ActName> = Extract<SingleAct, { act: Name }>
type Part = string | null | undefined
type Writer<Name extends ActName> = (act: OfAct<Name>, book: KeywordBook) => readonly Part[]

/** Each vaccine with the dose numbers typed behind it. */
function vaccineParts(vaccines: readonly string[], typed: readonly TypedDose[]): string[] {
  return vaccines.flatMap((vaccine) => {
    const doses = typed.filter((dose) => dose.vaccine === vaccine)
    return doses.length === 0 ? [vaccine] : doses.map(({ dose }) => `${vaccine} ${dose}`)
  })
}

const dayPart = (day: Day | null): Part => (day === null ? null : formatDay(day))
const nothing = (): Part[] => []

const STOCK_MOVES = { 'taken-out': 'takenOut', 'brought-back': 'broughtBack' } as const
const STOCK_SIGNS = { received: '+', 'discarded-closed': '-' } as const

/** What follows the keyword of each act. */
const WRITERS: { readonly [Name in ActName]: Writer<Name> } = {
  'record-doses': ({ card, vaccines, typed, all, date, vial }, { words }) => [
    formatCardNumber(card),
    ...(all ? [words.all[0]] : vaccineParts(vaccines, typed)),
    formatDay(date),
    ...(vial === null ? [] : [words.vial[0], vial]),
  ],
  enrol: ({ village, birthDate, sex, phone, name }, { words }) => [
    village,
    formatDay(birthDate),
    words[sex][0],
    phone ?? words.noPhone[0],
    name,
  ],
  'due-list': ({ village, date }) => [village, dayPart(date)],
  'card-status': ({ card }) => [formatCardNumber(card)],
  'open-vial': ({ vaccine, lot, expiry }) => [vaccine, lot, formatDay(expiry)],
  'discard-vial': ({ vial, why }) => [vial, why],
  'report-reaction': ({ card, words }) => [formatCardNumber(card), words],
  undo: ({ card }) => [card === null ? null : formatCardNumber(card)],
  'record-visit': ({ card, outcome, reason, until, words }, { outcomes, reasons }) => [
    formatCardNumber(card),
    outcomes[outcome][0],
    dayPart(until),
    reason === null ? null : reasons[reason][0],
    words,
  ],
  'record-not-given': ({ card, vaccines, reason, date }, { reasons }) => [
    formatCardNumber(card),
    ...vaccines,
    reasons[reason][0],
    formatDay(date),
  ],
  'record-temperature': ({ celsius, fridge, date }, { words }) => [
    String(celsius),
    ...(fridge === null ? [] : [words.fridge[0], fridge]),
    formatDay(date),
  ],
  'record-stock': ({ counts, why, moved }, { words }) => [
    moved === undefined ? null : words[STOCK_MOVES[moved]][0],
    ...counts.flatMap(({ vaccine, count, unit, kind, lot }) => [
      vaccine,
      `${kind === undefined ? '' : STOCK_SIGNS[kind]}${count}`,
      words[unit][0],
      ...(lot === undefined ? [] : [words.lot[0], lot]),
    ]),
    why,
  ],
  'flag-double': ({ card, other, vaccines }) => [
    formatCardNumber(card),
    other === null ? null : formatCardNumber(other),
    ...vaccines,
  ],
  'rename-child': ({ card, name }) => [formatCardNumber(card), name],
  coverage: ({ village }) => [village],
  'missed-list': ({ village }) => [village],
  acknowledge: ({ reference }) => [reference],
  'set-pin': nothing,
  'next-page': nothing,
  'next-date': nothing,
  'move-later': nothing,
  stop: nothing,
  start: nothing,
  'set-language': ({ language }) => [language],
  'answer-yes': nothing,
  'answer-no': nothing,
  help: ({ topic }) => [topic],
}

/**
 * An act as a text that reads back as the same act, in the words of one language.
 * @example write({ act: 'card-status', card: '48217739' }, english) // 'CARD 4821 7739'
 */
export function write(act: Act, book: KeywordBook): string {
  if (act.act === 'several') return act.acts.map((each) => write(each, book)).join('\n')
  // The table pairs each act with its own writer, which the compiler cannot follow through the union.
  const writer = WRITERS[act.act] as Writer<ActName>
  const parts = [book.acts[act.act][0], ...writer(act, book)]
  return parts.filter((part) => part !== null && part !== undefined).join(' ')
}
