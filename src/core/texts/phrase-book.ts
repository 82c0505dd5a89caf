/** Phrase books from data: reading one, and laying a district's own wording over it. */
import type { IntlMessageFormat } from 'intl-messageformat'
import { z } from 'zod'
import { PHRASE_SPECS } from './catalogue/phrases.ts'
import type { PhraseKey } from './catalogue/phrases.ts'
import { WORDS } from './catalogue/placeholders.ts'
import { compilePhrase } from './phrase-text.ts'
import type { PhraseFault } from './phrase-text.ts'
import type { PhraseBook } from './phrases.ts'

/** What is wrong with a phrase book, or with one of its phrases. */
export interface PhraseProblem {
  readonly language: string
  /** The phrase, or the field of the file. */
  readonly key: string
  readonly kind: PhraseFault['kind'] | 'shape' | 'missing' | 'unknown' | 'over-budget'
  /** What to mend, in a sentence. */
  readonly detail: string
}

export type PhraseBookResult =
  | { readonly kind: 'book'; readonly book: PhraseBook }
  | { readonly kind: 'problems'; readonly problems: readonly PhraseProblem[] }

const PhraseFile = z.strictObject({
  language: z.string().regex(/^[a-z]{2,3}(-[A-Z]{2})?$/, 'a BCP 47 code such as "fr" or "pt-BR"'),
  name: z.string().min(1),
  alphabet: z.enum(['gsm7', 'ucs2']),
  review: z.enum(['source language', 'needs a native reviewer', 'reviewed by a native speaker']),
  words: z.record(z.enum(WORDS), z.string().min(1)),
  phrases: z.record(z.string(), z.string().min(1)),
})

/** Reads a phrase file; whether it is complete and short enough is for `checkPhraseBooks`. */
export function parsePhraseBook(data: unknown): PhraseBookResult {
  const file = PhraseFile.safeParse(data)
  if (!file.success) {
    const problems = file.error.issues.map((issue) => ({
      language: '',
      key: issue.path.join('.'),
      kind: 'shape' as const,
      detail: issue.message,
    }))
    return { kind: 'problems', problems }
  }
  const { language, name, alphabet, review, words, phrases } = file.data
  const empty: PhraseBook = {
    language,
    name,
    alphabet,
    needsReview: review === 'needs a native reviewer',
    words,
    texts: new Map(),
    messages: new Map(),
    route: {},
  }
  return withOverrides(empty, phrases)
}

/** A book in which some phrases are worded otherwise. */
export function withOverrides(
  book: PhraseBook,
  overrides: Readonly<Record<string, string>>,
): PhraseBookResult {
  const texts = new Map(book.texts)
  const messages = new Map<PhraseKey, IntlMessageFormat>(book.messages)
  const problems: PhraseProblem[] = []
  for (const [key, text] of Object.entries(overrides)) {
    const compiled = compilePhrase(text, book.language)
    if (!isPhraseKey(key))
      problems.push({ language: book.language, key, kind: 'unknown', detail: 'No phrase has this key.' })
    else if (compiled.kind === 'fault') problems.push({ language: book.language, key, ...compiled.fault })
    else {
      texts.set(key, text)
      messages.set(key, compiled.message)
    }
  }
  return problems.length > 0
    ? { kind: 'problems', problems }
    : { kind: 'book', book: { ...book, texts, messages } }
}

/** Whether the catalogue has a phrase of this key. */
export function isPhraseKey(key: string): key is PhraseKey {
  return PHRASE_SPECS.has(
    // A lookup by any string is safe; the map's type is narrower than the question.
    key as PhraseKey,
  )
}
