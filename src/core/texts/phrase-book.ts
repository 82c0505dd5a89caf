import type { IntlMessageFormat } from 'intl-messageformat'
import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import type { KeywordBook } from '../reading/keyword-book.ts'
import { isPhraseKey } from './catalogue/phrases.ts'
import type { PhraseKey } from './catalogue/phrases.ts'
import { compilePhrase } from './phrase-text.ts'
import { phraseWords } from './phrase-words.ts'
import type { PhraseBook } from './phrases.ts'

const PhraseFile = z.strictObject({
  language: z.string().regex(/^[a-z]{2,3}(-[A-Z]{2})?$/, 'write a BCP 47 code such as "fr" or "pt-BR"'),
  alphabet: z.enum(['gsm7', 'ucs2']),
  review: z.enum(['source language', 'needs a native reviewer', 'reviewed by a native speaker']),
  phrases: z.record(z.string(), z.string().min(1)),
})

/**
 * Reads the phrase file of a language, with the words its keyword book teaches; whether it is complete and short
 * enough is for `checkPhraseBook`.
 */
export function parsePhraseBook(data: unknown, keywords: KeywordBook): Checked<PhraseBook> {
  const file = checkData(PhraseFile, data)
  if (file.kind === 'invalid') return file
  const { language, alphabet, review, phrases } = file.value
  if (language !== keywords.language)
    return { kind: 'invalid', problems: [`language: these are the keywords of ${keywords.language}`] }
  const empty: PhraseBook = {
    language,
    name: keywords.names[0] ?? language,
    alphabet,
    isReviewed: review !== 'needs a native reviewer',
    words: phraseWords(keywords),
    texts: new Map(),
    messages: new Map(),
    route: {},
  }
  return withPhrases(empty, phrases)
}

/** A book with some phrases put in or worded otherwise. */
export function withPhrases(
  book: PhraseBook,
  phrases: Readonly<Record<string, string>>,
): Checked<PhraseBook> {
  const texts = new Map(book.texts)
  const messages = new Map<PhraseKey, IntlMessageFormat>(book.messages)
  const problems: string[] = []
  for (const [key, text] of Object.entries(phrases)) {
    const compiled = compilePhrase(text, book.language)
    if (!isPhraseKey(key)) problems.push(`${key}: no phrase has this key`)
    else if (compiled.kind === 'invalid')
      problems.push(...compiled.problems.map((problem) => `${key}: ${problem}`))
    else {
      texts.set(key, text)
      messages.set(key, compiled.value)
    }
  }
  return problems.length > 0
    ? { kind: 'invalid', problems }
    : { kind: 'valid', value: { ...book, texts, messages } }
}
