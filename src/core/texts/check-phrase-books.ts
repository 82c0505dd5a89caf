/** Whether phrase books are complete, use the right placeholders, and stay within their parts. */
import type { Checked } from '../checked-data.ts'
import { addDays, mustParseDay } from '../days/day.ts'
import { PHRASE_SPECS } from './catalogue/phrases.ts'
import type { PhraseKey, TextErrorCode } from './catalogue/phrases.ts'
import type { PhraseSpec, PlaceholderValues } from './catalogue/placeholders.ts'
import { withPhrases } from './phrase-book.ts'
import { PLURAL_COUNTS, phraseFaults } from './phrase-text.ts'
import type { PhraseFault } from './phrase-text.ts'
import { isTextErrorCode, render, sayError } from './phrases.ts'
import type { PhraseBook } from './phrases.ts'
import { sayDay } from './say-day.ts'
import { measure } from './segments.ts'

/** The calendars a district may use. */
export const CALENDARS = ['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist'] as const

/** The longest way a language says a day of the year, in any calendar. */
function longestDay(language: string, style: { withYear?: boolean; hours?: string }): string {
  const first = mustParseDay('2027-01-01')
  const said = CALENDARS.flatMap((calendar) =>
    Array.from({ length: 366 }, (_, index) =>
      sayDay(addDays(first, index), { language, calendar, ...style }),
    ),
  )
  return said.reduce((longest, next) => (next.length > longest.length ? next : longest))
}

/** Values as long as they get in practice: names of 12 letters, places of 20, five doses at a visit. */
export function longSamples(language: string): PlaceholderValues {
  return {
    child: 'Maximiliana',
    count: 1,
    post: 'Upper Mbari Health P',
    place: 'Upper Mbari School 2',
    village: 'Upper Mbari North Si',
    day: longestDay(language, { hours: '09:00-13:00' }),
    on: longestDay(language, {}),
    next: longestDay(language, {}),
    birth: longestDay(language, { withYear: true }),
    until: longestDay(language, { hours: '09:30' }),
    card: '4821 7739',
    doses: 'OPV 3, PENTA 3, PCV 3, ROTA 3, FIPV 2',
    dose: 'PENTA 3',
    typed: 'PENTA 2',
    reason: 'a dose that does not count here now',
    vaccine: 'PENTA',
    vial: '3174',
    words: 'high fever and a fit last night',
    what: '4821 7739 OPV 3, PENTA 3, PCV 3, ROTA 3, FIPV 2',
    period: '2026-01-01 - 2026-12-31',
    percent: '100.0',
    reached: 10_000,
    target: 10_000,
    first: 'GAVE 4821 7739 BOPV 23/11/2026',
    second: 'GAVE 4821 7739 FIPV 23/11/2026',
    degrees: '-12.5',
    word: '4821 7739',
    understood: 'GAVE, 4821 7739, BOPV, PENTA',
  }
}

/** A phrase with the samples that make it longest; an error as the whole reply. */
export function longestText(book: PhraseBook, key: PhraseKey, samples: PlaceholderValues): string {
  const code = key.startsWith('error-') ? key.slice('error-'.length) : ''
  if (isTextErrorCode(code)) return sayError(book, code, { ...samples, choices: choicesOf(code, samples) })
  const said = PLURAL_COUNTS.map((count) => render(book, key, { ...samples, count }))
  return said.reduce((longest, next) => (measure(next).units > measure(longest).units ? next : longest))
}

/** Only a text with two meanings is answered with two choices. */
function choicesOf(code: TextErrorCode, { first, second }: PlaceholderValues): readonly string[] {
  return code.endsWith('-unclear') ? [first, second] : [first]
}

/** Most parts a phrase may take in a language. */
export function partsAllowed(book: PhraseBook, spec: PhraseSpec): number {
  return book.alphabet === 'ucs2' ? spec.parts * 2 : spec.parts
}

/** What is wrong with a phrase of a book. */
export interface PhraseProblem {
  readonly language: string
  readonly key: PhraseKey
  readonly kind: PhraseFault['kind'] | 'missing' | 'over-budget'
  /** What to mend, in a sentence. */
  readonly detail: string
}

type Finding = Pick<PhraseProblem, 'kind' | 'detail'>

function budgetFindings(book: PhraseBook, key: PhraseKey, spec: PhraseSpec): readonly Finding[] {
  const text = longestText(book, key, longSamples(book.language))
  const { parts, units } = measure(text, book.route)
  const allowed = partsAllowed(book, spec)
  if (parts <= allowed) return []
  return [
    { kind: 'over-budget', detail: `Shorten it from ${parts} parts to ${allowed}; ${units} units: ${text}` },
  ]
}

function findings(book: PhraseBook, key: PhraseKey, spec: PhraseSpec): readonly Finding[] {
  const text = book.texts.get(key)
  const message = book.messages.get(key)
  if (text === undefined || message === undefined)
    return [{ kind: 'missing', detail: 'Translate this phrase.' }]
  const faults = phraseFaults(text, message, spec, book.language)
  // A text with the wrong placeholders cannot be filled in, hence not measured.
  return faults.length > 0 ? faults : budgetFindings(book, key, spec)
}

/** Everything to mend in some phrase books, in catalogue order; empty when they are fit for use. */
export function checkPhraseBooks(books: readonly PhraseBook[]): readonly PhraseProblem[] {
  return books.flatMap((book) =>
    [...PHRASE_SPECS].flatMap(([key, spec]) =>
      findings(book, key, spec).map((finding) => ({ language: book.language, key, ...finding })),
    ),
  )
}

/** A book with a district's own wording, under the same checks as the book itself. */
export function withOverrides(
  book: PhraseBook,
  overrides: Readonly<Record<string, string>>,
): Checked<PhraseBook> {
  const changed = withPhrases(book, overrides)
  if (changed.kind === 'invalid') return changed
  const problems = checkPhraseBooks([changed.value])
    .filter(({ key }) => Object.hasOwn(overrides, key))
    .map(({ key, detail }) => `${key}: ${detail}`)
  return problems.length > 0 ? { kind: 'invalid', problems } : changed
}
