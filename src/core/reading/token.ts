import { wordKey } from './clean-text.ts'

/** A word or a number of a cleaned text. */
export interface Token {
  /** As typed. */
  readonly text: string
  /** Capitals without accents, for comparing. */
  readonly key: string
  /** Where it stands in the cleaned text. */
  readonly start: number
  readonly end: number
  /** Place among the tokens of the text; neighbours differ by one. */
  readonly index: number
  /** The digits of a number, look-alike letters repaired; `null` for a word. */
  readonly digits: string | null
}

/** Tokens in the order written; those that were taken are missing. */
export type Tokens = readonly Token[]

const CHUNK = /[\p{L}\p{M}\p{N}'+\-./|\u200c\u200d]+/gu
/** Digits and the letters people type for them, in groups: 4821-7739, 3O95l466, 23/11/2026, +447700900123, -2. */
const NUMBER = /^[+-]?[\dOoОоΟοIlІ|]+(?:[-./][\dOoОоΟοIlІ|]+)*$/u

/** The digits of a number with O, I, l and their Greek and Cyrillic twins repaired; only a check digit proves it. */
function repairedDigits(text: string): string {
  return text
    .replace(/[OoОоΟο]/gu, '0')
    .replace(/[IlІ|]/gu, '1')
    .replace(/\D/gu, '')
}

function isNumber(text: string): boolean {
  return /\d/.test(text) && NUMBER.test(text)
}

interface Piece {
  readonly text: string
  readonly start: number
}

/** The piece without the punctuation around it; a sign stays where it begins a number. */
function trimmed({ text, start }: Piece): Piece {
  const lead = /^(?:[./|']|[+-](?!\d))*/u.exec(text)?.[0].length ?? 0
  return { text: text.slice(lead).replace(/[-./|'+]+$/u, ''), start: start + lead }
}

/** A number stays whole; anything else comes apart at hyphens, stops and slashes. */
function piecesOf(chunk: Piece): Piece[] {
  if (/^[A-Za-z0-9]+$/.test(chunk.text)) return [chunk]
  const whole = trimmed(chunk)
  if (isNumber(whole.text)) return [whole]
  return [...whole.text.matchAll(/[^-./|+]+/gu)].map((match) =>
    trimmed({ text: match[0], start: whole.start + match.index }),
  )
}

/** The token of one word that begins at a place. */
export function tokenOf(text: string, { start, index }: Pick<Token, 'start' | 'index'>): Token {
  const digits = isNumber(text) ? repairedDigits(text) : null
  return { text, key: wordKey(text), start, end: start + text.length, index, digits }
}

/** The tokens of the parts that one token is made of; they share its index. */
export function splitToken(token: Token, parts: readonly string[]): Token[] {
  let start = token.start
  return parts.map((part) => {
    const piece = tokenOf(part, { start, index: token.index })
    start = piece.end
    return piece
  })
}

/** The words and numbers of a cleaned text. */
export function tokensOf(text: string): Token[] {
  return [...text.matchAll(CHUNK)]
    .flatMap((match) => piecesOf({ text: match[0], start: match.index }))
    .filter((piece) => piece.text !== '')
    .map(({ text: piece, start }, index) => tokenOf(piece, { start, index }))
}

/** The keys of a phrase, as they are looked up: `Yellow  fever` is `YELLOW FEVER`. */
export function phraseKey(text: string): string {
  return tokensOf(text)
    .map((token) => token.key)
    .join(' ')
}

/** A token and up to so many in all that stand right behind it. */
export function neighboursOf(tokens: Tokens, at: number, most: number): Tokens {
  const first = tokens[at]?.index ?? 0
  return tokens.slice(at, at + most).filter((token, step) => token.index === first + step)
}

/** Neighbouring tokens together. */
export function groupsOf(tokens: Tokens): Token[][] {
  const groups: Token[][] = []
  for (const token of tokens) {
    const group = groups.at(-1)
    if (group?.at(-1)?.index === token.index - 1) group.push(token)
    else groups.push([token])
  }
  return groups
}

/** The words as typed: neighbours with what stands between them, the rest joined by a space. */
export function wordsOf(text: string, tokens: Tokens): string {
  return groupsOf(tokens)
    .map((group) => text.slice(group[0]?.start, group.at(-1)?.end))
    .join(' ')
    .replace(/\s+/gu, ' ')
}

/** The tokens without some of them. */
export function without(tokens: Tokens, taken: Iterable<Token>): Token[] {
  const gone = new Set(taken)
  return tokens.filter((token) => !gone.has(token))
}
