import { distance } from 'fastest-levenshtein'
import { z } from 'zod'
import { cleanText, wordKey } from './clean-text.ts'

/**
 * Finds known phrases in free text. A phrase is one or more words in order; `*` at an end of a word stands for any
 * letters, so that `convuls*` finds every form of it.
 */

/** The words of a text, clause by clause, ready to be searched. */
export type Clauses = readonly (readonly string[])[]

interface WordPattern {
  readonly key: string
  readonly isOpenAhead: boolean
  readonly isOpenBehind: boolean
}

/** A phrase, ready to be looked for. */
export type Phrase = readonly WordPattern[]

/** Words that may stand between two words of a phrase: "swelling of the face". */
const MAX_GAP = 2

/** Letters that may be wrong in a word, by its length; in a short word one letter makes another word. */
const slips = (length: number): number => (length >= 9 ? 2 : length >= 6 ? 1 : 0)

const words = (text: string): string[] => text.match(/[\p{L}\p{M}\p{N}'*]+/gu) ?? []

/** Splits free text into clauses and words; phrases do not reach over a comma or a full stop. */
export function readClauses(text: string): Clauses {
  return cleanText(text)
    .split(/[.,;:!?\n]+/u)
    .map((clause) => words(clause.replaceAll('*', ' ')).map(wordKey))
    .filter((clause) => clause.length > 0)
}

/** Prepares a phrase of a data file. */
export function readPhrase(text: string): Phrase {
  return words(cleanText(text)).map((word) => ({
    key: wordKey(word.replaceAll('*', '')),
    isOpenAhead: word.startsWith('*'),
    isOpenBehind: word.endsWith('*'),
  }))
}

function isLike(word: string, { key, isOpenAhead, isOpenBehind }: WordPattern): boolean {
  if (isOpenAhead) return isOpenBehind ? word.includes(key) : word.endsWith(key)
  const compared = isOpenBehind ? word.slice(0, key.length) : word
  if (compared === key) return true
  const allowed = slips(key.length)
  // Lengths that differ by more need no comparing; most words of a text end here.
  return (
    allowed > 0 && Math.abs(compared.length - key.length) <= allowed && distance(compared, key) <= allowed
  )
}

function holdsFrom(clause: readonly string[], start: number, phrase: Phrase): boolean {
  let next = start
  for (const [index, pattern] of phrase.entries()) {
    const reach = index === 0 ? 1 : MAX_GAP + 1
    const found = clause.slice(next, next + reach).findIndex((word) => isLike(word, pattern))
    if (found === -1) return false
    next += found + 1
  }
  return true
}

/** Whether a text holds a phrase. */
export function holdsPhrase(clauses: Clauses, phrase: Phrase): boolean {
  return clauses.some((clause) => clause.some((_, start) => holdsFrom(clause, start, phrase)))
}

/** Phrases of a data file by language, read into one list: people mix languages, so all are looked for at once. */
export const phraseWordsSchema = z
  .record(z.string(), z.array(z.string().trim().min(1)).min(1))
  .transform((byLanguage) => Object.values(byLanguage).flat().map(readPhrase))
