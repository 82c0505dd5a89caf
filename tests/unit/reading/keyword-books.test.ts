import { readFileSync } from 'node:fs'
import { checkKeywordBook } from '../../../src/core/reading/keyword-book.ts'
import { SENDERS } from '../../../src/core/reading/act.ts'
import type { ActName, Sender } from '../../../src/core/reading/act.ts'
import { isOneSlip } from '../../../src/core/reading/phrase-table.ts'
import type { PhraseTable } from '../../../src/core/reading/phrase-table.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { keywordBook, keywordBooks, languages, reading, vocabularyOf } from '../../support/reading.ts'

/** Every word of every language at once: if these do not collide, those of no district do. */
const everything = vocabularyOf({ languages })
const ROLES: readonly Sender[] = ['vaccinator', 'manager', 'parent']

const ofRole = (acts: readonly ActName[], role: Sender): ActName[] =>
  acts.filter((act) => SENDERS[act].includes(role))

function shared({ meanings }: PhraseTable<unknown>): string[] {
  return [...meanings].flatMap(([phrase, all]) =>
    new Set(all.map((meaning) => JSON.stringify(meaning))).size > 1 ? [phrase] : [],
  )
}

describe('the keyword books', () => {
  test('are those of the seven languages, each with a keyword for every act', () => {
    expect(languages).toEqual(['ar', 'en', 'es', 'fr', 'hi', 'pt', 'sw'])
    expect(keywordBooks.map(({ acts }) => Object.keys(acts).sort())).toEqual(
      languages.map(() => Object.keys(SENDERS).sort()),
    )
  })

  test('say which of them wait for a native reviewer', () => {
    const waiting = keywordBooks.filter(({ review }) => review === 'needs a native reviewer')

    expect(waiting.map(({ language }) => language)).toEqual(['ar', 'es', 'fr', 'hi', 'pt', 'sw'])
  })

  test('a book without a keyword, or with an unknown one, is refused with the place', () => {
    const english = readDataFile('keywords/en.json') as { acts: Record<string, unknown> }
    const acts = Object.fromEntries(Object.entries(english.acts).filter(([act]) => act !== 'stop'))

    expect(checkKeywordBook({ ...english, acts })).toMatchObject({
      kind: 'invalid',
      problems: [/acts\.stop/],
    })
    expect(checkKeywordBook({ ...english, acts: { ...acts, stop: [] } })).toMatchObject({
      kind: 'invalid',
      problems: [/acts\.stop/],
    })
  })

  test.each(ROLES)('no keyword has two meanings for a %s, but CANCEL, which is asked about', (role) => {
    const double = [...everything.acts.meanings].filter(([, acts]) => ofRole(acts, role).length > 1)

    expect(double.map(([phrase]) => phrase)).toEqual(role === 'vaccinator' ? ['CANCEL'] : [])
  })

  test('no name of a day, outcome, reason, topic, sex or language has two meanings, but the Hindi days', () => {
    const { days, weekdays, months, outcomes, reasons, topics, sexes, languageNames } = everything

    expect([months, weekdays, outcomes, reasons, sexes, languageNames].flatMap(shared)).toEqual([])
    expect(shared(topics)).toEqual(['CANCEL'])
    expect(shared(days).sort()).toEqual(['KAL', 'PARSO', 'PARSON', 'कल', 'परसों'])
  })

  test('every vaccine code is a name of that vaccine alone, in every language', () => {
    const codes = new Set(keywordBooks.flatMap(({ vaccines }) => Object.keys(vaccines)))

    expect(codes.size).toBeGreaterThan(20)
    expect([...codes].filter((code) => everything.vaccines.meanings.get(code)?.join() !== code)).toEqual([])
  })

  test.each(keywordBooks.map((book) => [book.language, book] as const))(
    'every keyword of %s is read as its act',
    (language, book) => {
      const wrong = Object.entries(book.acts).flatMap(([act, words]) =>
        words.filter((word) => {
          const [from] = SENDERS[act as ActName]
          const read = reading(word, { language, languages, from: from ?? 'parent' })
          const understood = read['understood'] as { act?: string } | undefined
          return (
            (read['act'] ?? understood?.act) !== act &&
            !(word === 'CANCEL' && read['code'] === 'keyword-unclear')
          )
        }),
      )

      expect(wrong).toEqual([])
    },
  )
})

/** Every misspelling of a word by one letter, with letters of its own script. */
function slipsOf(word: string): string[] {
  const letters = [word.charAt(0), word.charAt(word.length - 1), 'A', 'T']
  const at = Array.from(word).map((_, place) => place)
  const cut = (place: number, length: number, put: string): string =>
    word.slice(0, place) + put + word.slice(place + length)
  return [
    ...at.map((place) => cut(place, 1, '')),
    ...at.slice(1).map((place) => cut(place - 1, 2, word.charAt(place) + word.charAt(place - 1))),
    ...at.flatMap((place) => letters.map((letter) => cut(place, 1, letter))),
    ...at.flatMap((place) => letters.map((letter) => cut(place, 0, letter))),
  ]
}

describe('a keyword misspelt by one letter', () => {
  // Answers and PIN are only read when spelt right: they are short, and much hangs on them.
  const words = [...everything.acts.meanings].filter(
    ([word, acts]) =>
      !word.includes(' ') &&
      word.length > 3 &&
      !acts.some((act) => act.startsWith('answer') || act === 'set-pin'),
  )

  test.each(ROLES)('of a %s is read as its own act, or as one just as near, or asked about', (role) => {
    const wrong = words
      .filter(([, acts]) => ofRole(acts, role).length > 0)
      .flatMap(([word, acts]) => slipsOf(word).map((typed) => ({ word, acts, typed })))
      .filter(({ acts, typed }) => {
        const read = reading(typed, { languages, from: role })
        const act = read['act'] ?? (read['understood'] as { act?: ActName }).act
        const isOwn = acts.some((own) => own === act)
        const isAsked = ['keyword-unclear', 'not-understood'].includes(String(read['code']))
        // What is spelt right as something else is that.
        const isOther = words.some(
          ([other, meanings]) => other === typed && meanings.some((own) => own === act),
        )
        return !isOwn && !isAsked && !isOther
      })

    expect(wrong).toEqual([])
  })

  test('that is as near to a second act is asked about', () => {
    const near = words.flatMap(([word, acts]) =>
      words
        .filter(([other, others]) => isOneSlip(word, other) && !others.some((act) => acts.includes(act)))
        .map(([other]) => `${word} ${other}`),
    )

    expect(near.length).toBeLessThan(20)
    expect(reading('STOC')).toMatchObject({ code: 'keyword-unclear', choices: ['STOCK', 'STOP'] })
  })
})

test('the English keywords are those of the manual', () => {
  const taught = Object.fromEntries(
    Object.entries(keywordBook('en').acts).map(([act, [word]]) => [act, word]),
  )

  expect(taught).toMatchObject({
    'record-doses': 'GAVE',
    enrol: 'NEW',
    'due-list': 'DUE',
    'card-status': 'CARD',
    'open-vial': 'OPENED',
    'discard-vial': 'DISCARD',
    'report-reaction': 'REACTION',
    undo: 'UNDO',
    coverage: 'COVER',
    'missed-list': 'MISSED',
    'next-date': 'WHEN',
    'move-later': 'LATER',
    stop: 'STOP',
    start: 'START',
    help: 'HELP',
  })
})

describe('docs/texts-in.md', () => {
  const page = readFileSync(new URL('../../../docs/texts-in.md', import.meta.url), 'utf8')

  test('teaches the first keyword of every act in every language', () => {
    const rows = page.split('\n').map((line) => line.split('|').map((cell) => cell.trim()))
    const head = rows.find(([, first, second]) => first === 'act' && second === 'en') ?? []
    const taught = Object.keys(SENDERS).flatMap((act) => {
      const row = rows.find(([, first]) => first === act) ?? []
      return keywordBooks.map(({ language }) => [act, language, row[head.indexOf(language)]])
    })

    expect(taught).toEqual(
      Object.keys(SENDERS).flatMap((act) =>
        keywordBooks.map(({ language, acts }) => [act, language, acts[act as ActName][0]]),
      ),
    )
  })
})
