import fc from 'fast-check'
import { makeCardNumber } from '../../src/core/card-number.ts'
import { addDays } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import type { ActName, SingleAct } from '../../src/core/reading/act.ts'
import type { Vocabulary } from '../../src/core/reading/vocabulary.ts'
import { phraseKey } from '../../src/core/reading/token.ts'

/** Acts of every kind, with villages, names and words that no vocabulary knows. */

const NOT_WORDS = ['Zumbo', 'Kwezi', 'Thandeka', 'Ñuqui', "N'Zolo", 'Ba-Kolo', 'Vuyo', 'गोपालपुर', 'زينهم']
const plainWords = fc
  .array(fc.constantFrom(...NOT_WORDS), { minLength: 1, maxLength: 3 })
  .map((words) => words.join(' '))

const card = fc
  .integer({ min: 0, max: 9_999_999 })
  .map((body) => makeCardNumber(String(body).padStart(7, '0')))
const phone = fc.integer({ min: 0, max: 999 }).map((end) => `+447700900${String(end).padStart(3, '0')}`)
const number = fc.integer({ min: 1, max: 99_999 }).map(String)
const lot = fc.stringMatching(/^[A-QS-Z]{1,2}\d{2,5}[A-Z]?$/)

type OfAct<Name extends ActName> = Extract<SingleAct, { act: Name }>
type Parts<Name extends ActName> = Omit<OfAct<Name>, 'act'>
type Fields<Name extends ActName> = {
  [Field in keyof Parts<Name>]: fc.Arbitrary<Exclude<Parts<Name>[Field], undefined>>
}

/** Whether a topic's word is understood as that topic. */
function isTopic(topic: string, { topics }: Vocabulary): boolean {
  const meanings = topics.meanings.get(phraseKey(topic))
  // HELP HELP is one HELP.
  return meanings?.length === 1 && meanings[0] === topic && topic !== 'HELP'
}

/** Whether names written one behind another are read as one longer name: DTP HEPB HIB is the five-in-one vaccine. */
const spellAnother = (names: readonly string[], { vaccines }: Vocabulary): boolean =>
  names.some((_, start) =>
    names.some(
      (__, end) => end > start && vaccines.meanings.has(phraseKey(names.slice(start, end + 1).join(' '))),
    ),
  )

/** What may stand in each part of each act, on a day. */
function fieldsOf(on: Day, vocabulary: Vocabulary): { [Name in ActName]: Fields<Name> } {
  const behind = fc.integer({ min: 0, max: 2500 }).map((days) => addDays(on, -days))
  const ahead = fc.integer({ min: 0, max: 300 }).map((days) => addDays(on, days))
  const vaccine = fc.constantFrom(...Object.keys(vocabulary.english.vaccines))
  const vaccines = fc
    .uniqueArray(vaccine, { minLength: 1, maxLength: 4 })
    .filter((names) => !spellAnother(names, vocabulary))
  const reason = fc.constantFrom(...vocabulary.reasons.meanings.values()).map(([first]) => first ?? 'ill')
  const village = fc.option(plainWords)
  const topic = fc.constantFrom(
    ...[...vocabulary.topics.meanings.values()].flat().filter((each) => isTopic(each, vocabulary)),
  )
  return {
    'record-doses': {
      card,
      vaccines,
      typed: fc.constant([]),
      all: fc.constant(false),
      date: behind,
      vial: fc.option(number),
    },
    enrol: {
      village: plainWords,
      birthDate: behind,
      sex: fc.constantFrom('female', 'male'),
      phone: fc.option(phone),
      name: plainWords,
    },
    'due-list': { village, date: fc.option(ahead) },
    'card-status': { card },
    'open-vial': { vaccine, lot, expiry: ahead },
    'discard-vial': { vial: number, why: fc.option(plainWords) },
    'report-reaction': { card, words: plainWords },
    undo: { card: fc.option(card) },
    'record-visit': {
      card,
      outcome: fc.constantFrom('active', 'moved', 'died', 'refused', 'lost'),
      reason: fc.option(reason),
      until: fc.constant(null),
      words: fc.option(plainWords),
    },
    'record-not-given': { card, vaccines, reason, date: behind },
    'record-temperature': {
      celsius: fc.integer({ min: -900, max: 600 }).map((tenths) => tenths / 10 + 0),
      fridge: fc.option(number),
      date: behind,
    },
    'record-stock': {
      counts: fc.array(
        fc.record(
          {
            vaccine,
            count: fc.nat({ max: 9999 }),
            unit: fc.constantFrom('vials' as const, 'doses' as const),
            kind: fc.constantFrom('received' as const, 'discarded-closed' as const),
            lot: fc.constantFrom('L4471B', 'BX12', '4471', '77-A'),
          },
          { requiredKeys: ['vaccine', 'count', 'unit'] },
        ),
        { minLength: 1, maxLength: 4 },
      ),
    },
    'flag-double': { card, other: fc.option(card), vaccines: fc.uniqueArray(vaccine, { maxLength: 3 }) },
    'rename-child': { card, name: plainWords },
    coverage: { village },
    'missed-list': { village },
    acknowledge: { reference: fc.option(number) },
    'set-pin': {},
    'next-page': {},
    'next-date': {},
    'move-later': {},
    stop: {},
    start: {},
    'set-language': { language: fc.constantFrom(...vocabulary.languageCodes) },
    'answer-yes': {},
    'answer-no': {},
    help: { topic: fc.option(fc.oneof(topic, vaccine)) },
  }
}

/** Acts of one kind; those whose parts depend on each other are put right. */
export function arbitraryAct(name: ActName, on: Day, vocabulary: Vocabulary): fc.Arbitrary<SingleAct> {
  const fields: Record<string, fc.Arbitrary<unknown>> = fieldsOf(on, vocabulary)[name]
  // The fields are those of the act of this name.
  const made = fc.record(fields).map((parts) => ({ act: name, ...parts }) as SingleAct)
  return fc.tuple(made, fc.array(fc.integer({ min: 0, max: 6 })), fc.boolean()).map(([act, doses, flag]) => {
    if (act.act === 'record-doses') return flag ? { ...act, vaccines: [], all: true } : withDoses(act, doses)
    if (act.act === 'record-stock' && flag) return moved(act, doses.length % 2 === 0)
    if (act.act === 'record-visit' && flag) return { ...act, outcome: 'away', until: on }
    return act.act === 'flag-double' && act.other === act.card ? { ...act, other: null } : act
  })
}

function moved(act: OfAct<'record-stock'>, isOut: boolean): SingleAct {
  const counts = act.counts.map(({ vaccine, count, unit }) => ({ vaccine, count, unit }))
  return { ...act, counts, moved: isOut ? 'taken-out' : 'brought-back' }
}

function withDoses(act: OfAct<'record-doses'>, doses: readonly number[]): SingleAct {
  const typed = act.vaccines.flatMap((vaccine, place) => {
    const dose = doses[place]
    return dose === undefined ? [] : [{ vaccine, dose }]
  })
  return { ...act, typed }
}
