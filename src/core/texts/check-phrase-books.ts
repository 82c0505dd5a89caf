/** Whether phrase books are complete, use the right placeholders, and stay within their parts. */
import type { Checked } from '../checked-data.ts'
import { PHRASE_SPECS } from './catalogue/phrases.ts'
import type { PhraseKey, TextErrorCode } from './catalogue/phrases.ts'
import type { PhraseSpec, PlaceholderValues } from './catalogue/placeholders.ts'
import { longSamples } from './long-samples.ts'
import { withPhrases } from './phrase-book.ts'
import { PLURAL_COUNTS, phraseFaults } from './phrase-text.ts'
import type { PhraseFault } from './phrase-text.ts'
import { isTextErrorCode, render, sayError } from './phrases.ts'
import type { PhraseBook } from './phrases.ts'
import { measure } from './segments.ts'
import type { Measure } from './segments.ts'

/** Only a text with two meanings is answered with two choices. */
function choicesOf(code: TextErrorCode, { first, second }: PlaceholderValues): readonly string[] {
  return code.endsWith('-unclear') ? [first, second] : [first]
}

/** A phrase with the samples that make it longest; an error as the whole reply. */
function longestText(book: PhraseBook, key: PhraseKey, samples: PlaceholderValues): string {
  const code = key.startsWith('error-') ? key.slice('error-'.length) : ''
  if (isTextErrorCode(code)) return sayError(book, code, { ...samples, choices: choicesOf(code, samples) })
  const said = PLURAL_COUNTS.map((count) => render(book, key, { ...samples, count }))
  return said.reduce((longest, next) => (measure(next).units > measure(longest).units ? next : longest))
}

/** A phrase in its longest case, and what it may take. */
export interface PhraseLength extends Measure {
  readonly key: PhraseKey
  readonly text: string
  readonly partsAllowed: number
}

/** The longest case of each phrase a book has and that can be filled in, in catalogue order. */
export function phraseLengths(book: PhraseBook): readonly PhraseLength[] {
  const samples = longSamples(book.language)
  return [...PHRASE_SPECS].flatMap(([key, spec]) => {
    if (phraseFindings(book, key, spec).length > 0) return []
    const text = longestText(book, key, samples)
    const partsAllowed = book.alphabet === 'ucs2' ? spec.parts * 2 : spec.parts
    return [{ key, text, partsAllowed, ...measure(text, book.route) }]
  })
}

/** What is wrong with a phrase of a book. */
export interface PhraseProblem {
  readonly language: string
  readonly key: PhraseKey
  readonly kind: PhraseFault['kind'] | 'missing' | 'over-budget'
  /** What to mend, in a sentence. */
  readonly detail: string
}

type Finding = Omit<PhraseProblem, 'language'>

function phraseFindings(book: PhraseBook, key: PhraseKey, spec: PhraseSpec): readonly Finding[] {
  const text = book.texts.get(key)
  const message = book.messages.get(key)
  if (text === undefined || message === undefined)
    return [{ key, kind: 'missing', detail: 'Translate this phrase.' }]
  return phraseFaults(text, message, spec, book.language).map((fault) => ({ key, ...fault }))
}

function lengthFindings(book: PhraseBook): readonly Finding[] {
  return phraseLengths(book)
    .filter(({ parts, partsAllowed }) => parts > partsAllowed)
    .map(({ key, parts, partsAllowed, units, text }) => ({
      key,
      kind: 'over-budget',
      detail: `Shorten it from ${parts} parts to ${partsAllowed}; at its longest it takes ${units} units: ${text}`,
    }))
}

/** Everything to mend in some phrase books; empty when they are fit for use. */
export function checkPhraseBooks(books: readonly PhraseBook[]): readonly PhraseProblem[] {
  return books.flatMap((book) => {
    const findings = [...PHRASE_SPECS].flatMap(([key, spec]) => phraseFindings(book, key, spec))
    return [...findings, ...lengthFindings(book)].map((finding) => ({ language: book.language, ...finding }))
  })
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
