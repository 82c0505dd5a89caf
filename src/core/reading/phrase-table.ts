import { neighboursOf, phraseKey } from './token.ts'
import type { Tokens } from './token.ts'

/** Phrases of one or more words and what each can mean; a phrase with several meanings is to be asked about. */
export interface PhraseTable<T> {
  readonly meanings: ReadonlyMap<string, readonly T[]>
  /** Words in the longest phrase that begins with a word. */
  readonly longest: ReadonlyMap<string, number>
}

/** A phrase found among tokens. */
export interface PhraseMatch<T> {
  /** At least one. */
  readonly meanings: readonly T[]
  /** Tokens matched. */
  readonly length: number
}

/** A table from phrases as people write them; a phrase of several words is also known without its spaces. */
export function phraseTable<T>(entries: Iterable<readonly [phrase: string, meaning: T]>): PhraseTable<T> {
  const meanings = new Map<string, T[]>()
  const longest = new Map<string, number>()
  for (const [phrase, meaning] of entries) {
    const key = phraseKey(phrase)
    for (const spelling of new Set([key, key.replaceAll(' ', '')])) {
      const known = meanings.get(spelling) ?? []
      if (!known.includes(meaning)) meanings.set(spelling, [...known, meaning])
      const words = spelling.split(' ')
      const [first = ''] = words
      longest.set(first, Math.max(longest.get(first) ?? 0, words.length))
    }
  }
  return { meanings, longest }
}

/** The longest phrase that begins at a token and goes through neighbours. */
export function matchPhrase<T>(
  table: PhraseTable<T>,
  tokens: Tokens,
  at: number,
): PhraseMatch<T> | undefined {
  const longest = table.longest.get(tokens[at]?.key ?? '')
  if (longest === undefined) return undefined
  const keys = neighboursOf(tokens, at, longest).map((token) => token.key)
  for (let length = keys.length; length > 0; length--) {
    const meanings = table.meanings.get(keys.slice(0, length).join(' '))
    if (meanings !== undefined) return { meanings, length }
  }
  return undefined
}

/** Every meaning of the one-word phrases that are one slip of the finger away from a word. */
export function nearMeanings<T>(
  table: PhraseTable<T>,
  key: string,
  isSlip: (key: string, phrase: string) => boolean = isOneSlip,
): T[] {
  const near = new Set<T>()
  for (const [phrase, meanings] of table.meanings)
    if (!phrase.includes(' ') && isSlip(key, phrase)) for (const meaning of meanings) near.add(meaning)
  return [...near]
}

/** Whether two neighbouring letters change places between two words of one length. */
export function isSwap(a: string, b: string): boolean {
  if (a.length !== b.length) return false
  const at = firstDifference(a, b)
  return (
    at < a.length - 1 && a[at] === b[at + 1] && a[at + 1] === b[at] && a.slice(at + 2) === b.slice(at + 2)
  )
}

/** Whether one letter was changed, left out, put in, or swapped with its neighbour (Damerau-Levenshtein distance 1). */
export function isOneSlip(a: string, b: string): boolean {
  if (Math.abs(a.length - b.length) > 1 || a === b) return false
  const at = firstDifference(a, b)
  return (
    a.slice(at + 1) === b.slice(at + 1) ||
    a.slice(at + 1) === b.slice(at) ||
    a.slice(at) === b.slice(at + 1) ||
    isSwap(a, b)
  )
}

/** Whether a word is another with two letters swapped or one doubled: slips that make no other word. */
export function isTypingSlip(typed: string, word: string): boolean {
  const at = firstDifference(typed, word)
  const isDoubled = typed[at] === typed[at - 1] && typed.slice(at + 1) === word.slice(at)
  return isSwap(typed, word) || (isDoubled && typed.length === word.length + 1)
}

function firstDifference(a: string, b: string): number {
  let at = 0
  while (at < a.length && a[at] === b[at]) at++
  return at
}
