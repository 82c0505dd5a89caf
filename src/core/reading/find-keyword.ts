import { SENDERS } from './act.ts'
import type { ActName, Sender } from './act.ts'
import { matchPhrase, nearMeanings } from './phrase-table.ts'
import { takeDay } from './take-day.ts'
import { vaccineNameAt } from './take-vaccines.ts'
import type { Scope } from './taken.ts'
import { splitToken } from './token.ts'
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

/** Answers are too short, and matter too much, to be read out of another word. */
const EXACT_ONLY: ReadonlySet<ActName> = new Set(['answer-yes', 'answer-no'])

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
export function nearKeyword(token: Token, scope: Scope): Keyword | undefined {
  const { vocabulary, from } = scope
  if (token.digits !== null || token.key.length < SHORTEST) return undefined
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
export function splitGluedKeyword(token: Token, { vocabulary }: Scope): Token[] {
  const [, word, number] = /^(\p{L}{3,})(\d{4,})$/u.exec(token.text) ?? []
  if (word === undefined || number === undefined) return [token]
  const parts = splitToken(token, [word, number])
  return matchPhrase(vocabulary.acts, parts, 0) === undefined ? [token] : parts
}

/** The keyword at the head of a line, behind greetings and small words. */
export function headKeyword(given: Tokens, scope: Scope): Keyword | undefined {
  const tokens = given.flatMap((token, at) => (at === 0 ? splitGluedKeyword(token, scope) : [token]))
  for (let at = 0; at < tokens.length;) {
    const exact = exactKeyword(tokens, at, scope)
    if (exact !== undefined) return exact
    const filler = matchPhrase(scope.vocabulary.fillers, tokens, at)
    const token = tokens[at]
    if (filler === undefined) return token === undefined ? undefined : nearKeyword(token, scope)
    at += filler.length
  }
  return undefined
}

/** The only keyword of one act that stands anywhere in a text. */
export function keywordAnywhere(tokens: Tokens, scope: Scope): Keyword | undefined {
  const found = tokens
    .map((_, at) => exactKeyword(tokens, at, scope))
    .filter((keyword) => keyword !== undefined)
  const acts = new Set(found.flatMap((keyword) => keyword.acts))
  return acts.size === 1 ? found[0] : undefined
}
