import { SENDERS } from './act.ts'
import type { ActName, Sender } from './act.ts'
import { matchPhrase, nearMeanings } from './phrase-table.ts'
import { takeDay } from './take-day.ts'
import { vaccineNameAt } from './take-vaccines.ts'
import type { Scope } from './taken.ts'
import { splitToken, without } from './token.ts'
import type { Token, Tokens } from './token.ts'

/** A keyword as found: the acts it may stand for and where it stands. */
export interface Keyword {
  /** At least one; several are to be asked about. */
  readonly acts: readonly ActName[]
  readonly tokens: Tokens
  /** False where it was misspelt by one letter. */
  readonly isExact: boolean
}

/** Shortest keyword in which a slip is forgiven. */
const SHORTEST = 3

/** Too short, and matter too much, to be read out of another word. */
const EXACT_ONLY: ReadonlySet<ActName> = new Set(['answer-yes', 'answer-no', 'set-pin'])

/** Of the acts a word stands for, those its sender may do; all of them where there is none such. */
function permitted(acts: readonly ActName[], sender: Sender): readonly ActName[] {
  const allowed = acts.filter((act) => SENDERS[act].includes(sender))
  return allowed.length > 0 ? allowed : acts
}

/** The keyword that begins at a token, spelt right. */
export function exactKeyword(tokens: Tokens, at: number, { vocabulary, from }: Scope): Keyword | undefined {
  const match = matchPhrase(vocabulary.acts, tokens, at)
  if (match === undefined) return undefined
  return { acts: permitted(match.meanings, from), tokens: tokens.slice(at, at + match.length), isExact: true }
}

/** The keyword that a token is one letter away from, unless the token says something else. */
export function nearKeyword(token: Token | undefined, scope: Scope): Keyword | undefined {
  const { vocabulary, from } = scope
  if (token?.digits !== null || token.key.length < SHORTEST) return undefined
  const near = nearMeanings(vocabulary.acts, token.key).filter((act) => !EXACT_ONLY.has(act))
  if (near.length === 0 || isOtherWord(token, scope)) return undefined
  return { acts: permitted(near, from), tokens: [token], isExact: false }
}

function isOtherWord(token: Token, scope: Scope): boolean {
  return (
    vaccineNameAt([token], 0, scope.vocabulary).kind === 'name' ||
    takeDay([token], { direction: 'coming' }, scope).kind !== 'absent'
  )
}

/** GAVE48217739 comes apart into a keyword and a number. */
function splitGluedKeyword(token: Token, { vocabulary }: Scope): Token[] {
  const [, word, number] = /^(\p{L}{3,})(\d{4,})$/u.exec(token.text) ?? []
  if (word === undefined || number === undefined) return [token]
  const parts = splitToken(token, [word, number])
  return matchPhrase(vocabulary.acts, parts, 0) === undefined ? [token] : parts
}

/** One act's part of a text. */
export interface Segment {
  readonly keyword: Keyword
  /** What stands behind the keyword, or around it. */
  readonly tokens: Tokens
}

/** A line that has a keyword at its head, behind greetings and small words. */
export function segmentOf(line: Tokens, scope: Scope): Segment | undefined {
  const tokens = line.flatMap((token, at) => (at === 0 ? splitGluedKeyword(token, scope) : [token]))
  for (let at = 0; at < tokens.length;) {
    const exact = exactKeyword(tokens, at, scope)
    const filler = exact === undefined ? matchPhrase(scope.vocabulary.fillers, tokens, at) : undefined
    if (filler === undefined) {
      const keyword = exact ?? nearKeyword(tokens[at], scope)
      return keyword && { keyword, tokens: behind(keyword, tokens.slice(at + keyword.tokens.length), scope) }
    }
    at += filler.length
  }
  return undefined
}

/** The tokens behind a keyword; GAVE GAVE is one GAVE. */
function behind({ acts }: Keyword, tokens: Tokens, scope: Scope): Tokens {
  const again = exactKeyword(tokens, 0, scope)
  return again !== undefined && again.acts[0] === acts[0] ? tokens.slice(again.tokens.length) : tokens
}

/** A text with the keywords of one act only, wherever they stand. */
export function segmentAnywhere(tokens: Tokens, scope: Scope): Segment | undefined {
  const found = tokens.flatMap((_, at) => exactKeyword(tokens, at, scope) ?? [])
  const [keyword] = found
  const acts = new Set(found.flatMap((each) => each.acts))
  return keyword === undefined || acts.size > 1
    ? undefined
    : { keyword, tokens: without(tokens, keyword.tokens) }
}
