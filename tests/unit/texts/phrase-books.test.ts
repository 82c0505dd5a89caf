import { labelChild } from '../../../src/core/texts/child-label.ts'
import { mustBeValid } from '../../../src/core/checked-data.ts'
import type { ProblemCode, Reason, VisitOutcome } from '../../../src/core/reading/act.ts'
import { checkKeywordBook } from '../../../src/core/reading/keyword-book.ts'
import type { UncountedReason } from '../../../src/core/schedule/forecast-types.ts'
import { isPhraseKey, PHRASE_SPECS } from '../../../src/core/texts/catalogue/phrases.ts'
import type { PhraseKey, TextErrorCode } from '../../../src/core/texts/catalogue/phrases.ts'
import { checkPhraseBook, phraseLengths, withOverrides } from '../../../src/core/texts/check-phrase-book.ts'
import { longSamples } from '../../../src/core/texts/long-samples.ts'
import { parsePhraseBook } from '../../../src/core/texts/phrase-book.ts'
import { render, say, sayError } from '../../../src/core/texts/phrases.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { fitsScreen, measure } from '../../../src/core/texts/segments.ts'
import { tidy } from '../../../src/core/texts/tidy.ts'
import { readPhraseBooks } from '../../../src/main/phrase-books.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'

const books = readPhraseBooks()
const english = bookOf('en')
const LANGUAGES = ['en', 'fr', 'es', 'pt', 'sw', 'hi', 'ar']
const samples = new Map(LANGUAGES.map((language) => [language, longSamples(language)]))
const VISIT = { post: 'Mbari post', child: 'Asha', count: 1, day: 'Tue 24 Nov', place: 'Mbari' }

function bookOf(language: string): PhraseBook {
  const book = books.get(language)
  if (book === undefined) throw new Error(`no phrase book for ${language}`)
  return book
}

function without(book: PhraseBook, key: PhraseKey): PhraseBook {
  const texts = new Map(book.texts)
  texts.delete(key)
  return { ...book, texts }
}

function kindsAfter(overrides: Readonly<Record<string, string>>, language = 'en'): string[] {
  const changed = withOverrides(bookOf(language), overrides)
  return changed.kind === 'invalid' ? [...changed.problems] : []
}

const parentKeys = [...PHRASE_SPECS].filter(([, { kind }]) =>
  ['reminder', 'consent', 'aftercare'].includes(kind),
)

describe('the phrase books that ship', () => {
  test('are those of the seven languages', () => {
    expect([...books.keys()].sort()).toEqual([...LANGUAGES].sort())
  })

  test('lack no phrase, keep their placeholders and stay within their parts', () => {
    expect([...books.values()].flatMap((book) => checkPhraseBook(book))).toEqual([])
  })

  test('say which of them a native speaker still has to read', () => {
    expect(
      [...books.values()].filter(({ isReviewed }) => isReviewed).map(({ language }) => language),
    ).toEqual(['en'])
  })

  test.each(LANGUAGES)('format every phrase in %s for 0, 1, 2, 3, 11, 21 and 100', (language) => {
    const book = bookOf(language)
    for (const [key] of PHRASE_SPECS)
      for (const count of [0, 1, 2, 3, 11, 21, 100]) {
        const text = render(book, key, { ...samples.get(language), count })
        expect(text).not.toMatch(/[{}]|undefined|NaN|null/)
        expect(text).not.toMatch(/[\u0660-\u0669\u06f0-\u06f9\u0966-\u096f]/)
        expect(text.trim()).toBe(text)
      }
  })

  test.each(['en', 'fr', 'es', 'pt', 'sw'])('leave %s in GSM-7 on a plain route', (language) => {
    const costly = phraseLengths(bookOf(language)).filter(({ alphabet }) => alphabet === 'ucs2')

    expect(costly).toEqual([])
  })

  test.each(['en', 'fr', 'es', 'pt', 'sw'])('give reminders in %s one part at their longest', (language) => {
    const reminders = phraseLengths(bookOf(language)).filter(({ key }) => key.startsWith('reminder-'))

    expect(reminders).toHaveLength(6)
    expect(reminders.map(({ parts }) => parts)).toEqual([1, 1, 1, 1, 1, 1])
  })

  test.each(['hi', 'ar'])('give reminders in %s at most two parts at their longest', (language) => {
    const reminders = phraseLengths(bookOf(language)).filter(({ key }) => key.startsWith('reminder-'))

    expect(Math.max(...reminders.map(({ parts }) => parts))).toBe(2)
  })

  test('keep accents for Spanish where the route carries its table, at no more parts', () => {
    const spanish = { ...bookOf('es'), route: { national: 'spanish' as const } }
    const facts = { card: '4821 7739', child: 'Asha', what: 'se mudó' }

    expect(say(spanish, 'visit-noted', facts)).toContain('mudó')
    expect(say(bookOf('es'), 'visit-noted', facts)).toContain('mudo')
    expect(checkPhraseBook(spanish)).toEqual([])
  })
})

describe('texts to parents (requirements REM-17, REM-18)', () => {
  /** Disease names that a shared phone must not show, in each language. */
  const DISEASES =
    /polio|measles|tubercul|t[ée]tan|dipht|difter|pertussis|rubella|h[ée]pati|rougeole|coqueluche|sarampi|tosferina|surua|donda koo|kifaduro|पोलियो|खसरा|टीबी|شلل|حصبة|السل/iu

  test.each(LANGUAGES)('name no disease in %s', (language) => {
    for (const [key] of parentKeys) expect(bookOf(language).texts.get(key)).not.toMatch(DISEASES)
  })

  test.each(LANGUAGES)(
    'never carry a birth date or a card beside the name, nor any mark of risk, in %s',
    (language) => {
      for (const [key] of parentKeys) {
        const text = bookOf(language).texts.get(key)
        expect(text).not.toMatch(/\{(birth|card|reason|word|words|dose|doses|vaccine)\b/)
        expect(text).not.toMatch(/\b(HIV|VIH|sida|risk|risque|riesgo|risco)\b/iu)
      }
      expect(labelChild('Asha Temba Wekesa', 'first-name')).toBe('Asha')
      expect(labelChild('Asha Temba Wekesa', 'initials')).toBe('A.T.W.')
    },
  )

  test.each(LANGUAGES)('name no amount of any medicine in %s', (language) => {
    for (const [key] of parentKeys)
      expect(bookOf(language).texts.get(key)).not.toMatch(/\d\s*(ml|mg|mcg|مل|मिली)|paracetamol|ibuprofen/iu)
  })

  test.each(LANGUAGES)('say who speaks and how to stop in every reminder in %s', (language) => {
    const book = bookOf(language)
    const stop = tidy(book.words.stopWord, { accents: 'drop' })
    for (const kind of ['ahead', 'eve', 'missed-1', 'missed-2', 'session-moved', 'called-off'] as const) {
      const text = say(book, `reminder-${kind}`, VISIT)
      expect(text.startsWith('Mbari post')).toBe(true)
      expect(text.endsWith(stop)).toBe(true)
    }
  })

  test.each(LANGUAGES)('leave the reader one or a few short sentences in %s', (language) => {
    for (const [key] of parentKeys) {
      const text = render(bookOf(language), key, { ...samples.get(language), count: 1 })
      const sentences = text.split(/[.!?;:؟،।]\s/u)
      const words = sentences.map((sentence) => sentence.split(/\s+/u).length)
      expect([key, Math.max(...words) <= 25]).toEqual([key, true])
    }
  })

  test('count the children of one line when there are several', () => {
    expect(say(english, 'reminder-ahead', VISIT)).toBe(
      'Mbari post: Asha is due for vaccines on Tue 24 Nov at Mbari. Please bring the card. To stop: STOP',
    )
    expect(say(english, 'reminder-ahead', { ...VISIT, count: 3 })).toMatch(/^Mbari post: 3 children are due/)
    expect(say(bookOf('ar'), 'reminder-ahead', { ...VISIT, count: 2 })).toContain('طفلين')
  })
})

describe('the catalogue', () => {
  test('has a phrase for every problem the reader of texts names', () => {
    const codes: Record<ProblemCode, TextErrorCode> = {
      'card-missing': 'card-missing',
      'card-length': 'card-length',
      'card-check-digit': 'card-check-digit',
      'card-unclear': 'card-unclear',
      'vaccine-missing': 'vaccine-missing',
      'vaccine-unknown': 'vaccine-unknown',
      'vaccine-unclear': 'vaccine-unclear',
      'date-missing': 'date-missing',
      'date-future': 'date-future',
      'date-impossible': 'date-impossible',
      'date-unclear': 'date-unclear',
      'birth-date-missing': 'birth-date-missing',
      'sex-missing': 'sex-missing',
      'village-missing': 'village-missing',
      'village-unknown': 'village-unknown',
      'phone-missing': 'phone-missing',
      'phone-impossible': 'phone-impossible',
      'name-missing': 'name-missing',
      'lot-missing': 'lot-missing',
      'expiry-missing': 'expiry-missing',
      'expiry-impossible': 'expiry-impossible',
      'vial-missing': 'vial-missing',
      'words-missing': 'words-missing',
      'outcome-missing': 'outcome-missing',
      'reason-missing': 'reason-missing',
      'temperature-missing': 'temperature-missing',
      'temperature-impossible': 'temperature-impossible',
      'count-missing': 'count-missing',
      'keyword-unclear': 'keyword-unclear',
      'role-not-allowed': 'role-not-allowed',
      'not-understood': 'not-understood',
      empty: 'empty',
    }

    expect(Object.values(codes).every((code) => isPhraseKey(`error-${code}`))).toBe(true)
  })

  test('has words for every reason a dose does not count, was not given, or a visit ended with', () => {
    const keys: readonly (`reason-${UncountedReason}` | `cause-${Reason}` | `outcome-${VisitOutcome}`)[] = [
      'reason-too-young',
      'cause-ill',
      'outcome-moved',
    ]

    expect(keys.every((key) => isPhraseKey(key))).toBe(true)
    expect([...PHRASE_SPECS.keys()].filter((key) => key.startsWith('reason-'))).toHaveLength(9)
  })
})

describe('sayError', () => {
  test('says what is wrong, what was understood and what to send', () => {
    expect(
      sayError(english, 'card-check-digit', {
        word: '48217738',
        understood: 'GAVE, BOPV',
        choices: ['GAVE 4821 7739 BOPV'],
      }),
    ).toBe('A digit of card 48217738 is wrong. Read: GAVE, BOPV. Send for example: GAVE 4821 7739 BOPV')
  })

  test('offers two choices as texts ready to send', () => {
    const choices = ['GAVE 4821 7739 IPV', 'GAVE 4821 7739 FIPV']

    expect(sayError(english, 'vaccine-unclear', { word: 'ipv', understood: 'GAVE', choices })).toBe(
      'ipv can be more than one vaccine. Send one of these:\nGAVE 4821 7739 IPV\nGAVE 4821 7739 FIPV',
    )
  })

  test('is only the problem where nothing else is known', () => {
    expect(sayError(english, 'empty')).toBe('Your text came without words.')
  })
})

describe('checkPhraseBook', () => {
  test('names a phrase that a language lacks', () => {
    const problems = checkPhraseBook(without(bookOf('sw'), 'stopped'))

    expect(problems.map(({ language, key, kind }) => [language, key, kind])).toEqual([
      ['sw', 'stopped', 'missing'],
    ])
  })
})

describe('withOverrides', () => {
  test('words a phrase anew and leaves the others', () => {
    const changed = mustBeValid(withOverrides(english, { started: 'Welcome back! To stop: {stopWord}' }))

    expect(say(changed, 'started')).toBe('Welcome back! To stop: STOP')
    expect(say(changed, 'repeated')).toBe(say(english, 'repeated'))
    expect(say(english, 'started')).not.toBe(say(changed, 'started'))
  })

  test.each([
    ['an unknown key', { greeting: 'Hello' }, 'greeting: no phrase has this key'],
    ['text that is not MessageFormat', { started: '{' }, /^started: this is not ICU MessageFormat/],
    ['a missing opt-out word', { started: 'Welcome back!' }, 'started: Put {stopWord} into the text.'],
    ['a child’s full name', { started: '{stopWord} {name}' }, 'started: Take {name} out of the text.'],
    [
      'too long a text',
      { started: `{stopWord} ${'a'.repeat(160)}` },
      /^started: Shorten it from 2 parts to 1/,
    ],
    ['too costly a letter', { started: `{stopWord} ж ${'a'.repeat(100)}` }, /^started: Shorten it/],
  ])('refuses %s', (_, overrides, problem) => {
    const problems = kindsAfter(overrides)

    expect(problems).toHaveLength(1)
    expect(problems[0]).toMatch(problem)
  })

  test('asks a language for its own plural forms', () => {
    expect(kindsAfter({ 'due-list': '{place} {day} {count, plural, one {#} other {#}}' }, 'ar')).toEqual([
      'due-list: Add the plural form "zero".',
      'due-list: Add the plural form "two".',
      'due-list: Add the plural form "few".',
      'due-list: Add the plural form "many".',
    ])
  })
})

describe('parsePhraseBook', () => {
  const keywords = mustBeValid(checkKeywordBook(readDataFile('keywords/en.json')))
  const file = {
    language: 'en',
    alphabet: 'gsm7',
    review: 'source language',
    phrases: { repeated: 'Again.' },
  }

  test('reads a file', () => {
    const book = mustBeValid(parsePhraseBook(file, keywords))

    expect(book).toMatchObject({ language: 'en', name: 'English', alphabet: 'gsm7', isReviewed: true })
    expect(book.words).toMatchObject({ gaveWord: 'GAVE', stopWord: 'STOP', vialTopic: 'VIAL' })
    expect(say(book, 'repeated')).toBe('Again.')
  })

  test.each([
    ['no object', null],
    ['an unknown alphabet', { ...file, alphabet: 'latin1' }],
    ['a locale with an underscore', { ...file, language: 'sw_KE' }],
    ['an unknown phrase', { ...file, phrases: { hello: 'Hello' } }],
    ['keywords of another language', { ...file, language: 'fr' }],
  ])('answers %s with its problems', (_, data) => {
    const result = parsePhraseBook(data, keywords)

    expect(result.kind === 'invalid' && result.problems.length > 0).toBe(true)
  })
})

test('a confirmation of five doses with the next date is one text', () => {
  const text = say(english, 'doses-recorded', longSamples('en'))

  expect(measure(text).parts).toBe(1)
  expect(fitsScreen(text)).toBe(true)
})
