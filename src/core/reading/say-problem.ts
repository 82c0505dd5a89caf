import { formatCardNumber, MANUAL_CARD, OTHER_MANUAL_CARD } from '../card-number.ts'
import { addDays, formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { PhraseBook } from '../texts/phrases.ts'
import { sayError } from '../texts/phrases.ts'
import type { ActName, ReadProblem, SingleAct, Understood } from './act.ts'
import type { KeywordBook } from './keyword-book.ts'
import { write } from './write.ts'

/** What a reply is worded with. */
export interface Wording {
  /** What we say. */
  readonly phrases: PhraseBook
  /** What people send. */
  readonly keywords: KeywordBook
  readonly today: Day
}

/** What was understood, in the order in which it is written: "GAVE, 4821 7739, BOPV". */
function understoodWords(understood: Understood, { acts, words }: KeywordBook): string {
  const {
    act,
    card,
    vaccines = [],
    village,
    birthDate,
    sex,
    phone,
    name,
    lot,
    expiry,
    vial,
    date,
  } = understood
  const parts = [
    act && acts[act][0],
    card && formatCardNumber(card),
    ...vaccines,
    lot,
    expiry && formatDay(expiry),
    vial,
    village,
    birthDate && formatDay(birthDate),
    sex && words[sex][0],
    phone,
    name,
    date && formatDay(date),
  ]
  return parts.filter((part) => part !== undefined).join(', ')
}

type Parts = Required<Omit<Understood, 'act' | 'acts'>>

/** The manual's example of each part of a text. */
function exampleParts({ keywords, today }: Wording): Parts {
  return {
    card: MANUAL_CARD,
    vaccines: ['BOPV'],
    date: today,
    village: 'Mbari',
    birthDate: addDays(today, -42),
    sex: 'female',
    phone: '+447700900123',
    name: 'Asha',
    lot: 'L4471B',
    expiry: addDays(today, 365),
    vial: '317',
    outcome: 'moved',
    reason: 'ill',
    words: keywords.reasons.ill[0] ?? '',
  }
}

const HELP: SingleAct = { act: 'help', topic: null }

/** A whole text of an act: what its sender gave, and an example where something is missing. */
function sampleOf(act: ActName, understood: Understood, wording: Wording): SingleAct {
  const example = exampleParts(wording)
  const parts = { ...example, ...understood }
  const { card, vaccines, date, village, birthDate, sex, phone, name, lot, expiry, vial } = parts
  const { outcome, reason, words } = parts
  const [vaccine = ''] = vaccines
  const samples: readonly SingleAct[] = [
    { act: 'record-doses', card, vaccines, typed: [], all: false, date, vial: null },
    { act: 'enrol', village, birthDate, sex, phone, name },
    { act: 'card-status', card },
    // An expiry is never made up beside somebody's own vial.
    understood.expiry === undefined
      ? { act: 'open-vial', vaccine: 'BOPV', lot: example.lot, expiry: example.expiry }
      : { act: 'open-vial', vaccine, lot, expiry },
    { act: 'discard-vial', vial, why: null },
    { act: 'report-reaction', card, words },
    { act: 'record-visit', card, outcome, reason: null, until: null, words: null },
    { act: 'record-not-given', card, vaccines, reason, date },
    { act: 'record-temperature', celsius: 5.2, fridge: null, date },
    { act: 'record-stock', counts: [{ vaccine, count: 12, unit: 'vials' }] },
    { act: 'flag-double', card, other: OTHER_MANUAL_CARD, vaccines: [] },
    { act: 'rename-child', card, name },
    { act: 'undo', card: null },
    { act: 'due-list', village: null, date: null },
    { act: 'acknowledge', reference: null },
    { act: 'move-later' },
    { act: 'next-date' },
    { act: 'stop' },
    { act: 'start' },
  ]
  return samples.find((sample) => sample.act === act) ?? HELP
}

/** The reply to a text that could not be taken: what is wrong, what was understood, what to send instead. */
export function sayProblem(problem: ReadProblem, wording: Wording): string {
  const { code, word, understood, choices } = problem
  const { phrases, keywords } = wording
  const isTheirs = understood.act !== undefined && code !== 'role-not-allowed'
  const sample = isTheirs ? sampleOf(understood.act, understood, wording) : HELP
  return sayError(phrases, code, {
    word,
    understood: understoodWords(understood, keywords),
    choices: choices.length > 0 ? choices : [write(sample, keywords)],
  })
}
