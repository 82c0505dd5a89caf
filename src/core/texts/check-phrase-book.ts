/** Whether a phrase book is complete, uses the right placeholders, and stays within its parts. */
import type { Checked } from '../checked-data.ts'
import { isPhraseKey, PHRASE_SPECS, PHRASES } from './catalogue/phrases.ts'
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

/** What is wrong with a phrase of a book. */
export interface PhraseProblem {
  readonly language: string
  readonly key: PhraseKey
  readonly kind: PhraseFault['kind'] | 'missing' | 'over-budget'
  /** What to mend, in a sentence. */
  readonly detail: string
}

const ALL_KEYS = [...PHRASE_SPECS.keys()]

function faultsOf(book: PhraseBook, key: PhraseKey): readonly Pick<PhraseProblem, 'kind' | 'detail'>[] {
  const text = book.texts.get(key)
  const message = book.messages.get(key)
  return text === undefined || message === undefined
    ? [{ kind: 'missing', detail: 'Translate this phrase.' }]
    : phraseFaults(text, message, PHRASES[key], book.language)
}

/** The longest case of each phrase that can be filled in, in catalogue order. */
export function phraseLengths(
  book: PhraseBook,
  keys: readonly PhraseKey[] = ALL_KEYS,
): readonly PhraseLength[] {
  const samples = longSamples(book.language)
  return keys
    .filter((key) => faultsOf(book, key).length === 0)
    .map((key) => {
      const text = longestText(book, key, samples)
      const partsAllowed = PHRASES[key].parts * (book.alphabet === 'ucs2' ? 2 : 1)
      return { key, text, partsAllowed, ...measure(text, book.route) }
    })
}

/** Everything to mend in a phrase book; empty when it is fit for use. */
export function checkPhraseBook(
  book: PhraseBook,
  keys: readonly PhraseKey[] = ALL_KEYS,
): readonly PhraseProblem[] {
  const { language } = book
  const faults = keys.flatMap((key) => faultsOf(book, key).map((fault) => ({ language, key, ...fault })))
  const tooLong = phraseLengths(book, keys).flatMap((length) => {
    const detail = excessOf(length)
    return detail === null ? [] : [{ language, key: length.key, kind: 'over-budget' as const, detail }]
  })
  return [...faults, ...tooLong]
}

function excessOf({ key, parts, partsAllowed, units, alphabet, text }: PhraseLength): string | null {
  const { septets = Infinity }: PhraseSpec = PHRASES[key]
  const unitsAllowed = alphabet === 'ucs2' ? septets / 2 : septets
  if (units > unitsAllowed)
    return `Shorten it from ${units} characters to ${unitsAllowed}; its longest case is: ${text}`
  return parts > partsAllowed
    ? `Shorten it from ${parts} parts to ${partsAllowed}; its longest case is: ${text}`
    : null
}

/** A book with a district's own wording, under the same checks as the book itself. */
export function withOverrides(
  book: PhraseBook,
  overrides: Readonly<Record<string, string>>,
): Checked<PhraseBook> {
  const changed = withPhrases(book, overrides)
  if (changed.kind === 'invalid') return changed
  const problems = checkPhraseBook(changed.value, Object.keys(overrides).filter(isPhraseKey))
  return problems.length > 0
    ? { kind: 'invalid', problems: problems.map(({ key, detail }) => `${key}: ${detail}`) }
    : changed
}
