import { SENDERS } from './act.ts'
import type { ActName, ReadProblem, SingleAct } from './act.ts'
import { exactKeyword, headKeyword, nearKeyword } from './find-keyword.ts'
import type { Keyword } from './find-keyword.ts'
import { matchPhrase } from './phrase-table.ts'
import { plainProblem, problemOf, readAs, unclearKeyword } from './problem.ts'
import type { ReadContext } from './read-context.ts'
import { withoutClosing } from './segment.ts'
import { takeDay } from './take-day.ts'
import { dropPhrases } from './take-parts.ts'
import { edited, isTrouble, said } from './taken.ts'
import type { Scope } from './taken.ts'
import { tokensOf } from './token.ts'
import type { Token, Tokens } from './token.ts'

/**
 * Texts of parents. A keyword counts only among small words: "stop" does, "please don't stop the medicine" does not.
 * Whatever says more goes to a person, for a word about a sick child must not be answered by a machine.
 */

interface Sorted {
  readonly keywords: readonly Keyword[]
  readonly hasLanguage: boolean
  /** Words that are neither keywords nor small. */
  readonly others: Tokens
}

function isParents(act: ActName): boolean {
  return SENDERS[act].includes('parent')
}

/** A keyword that parents have. */
function parentsKeyword(tokens: Tokens, at: number, scope: Scope): Keyword | undefined {
  const keyword = exactKeyword(tokens, at, scope)
  return keyword?.acts.some(isParents) === true ? keyword : undefined
}

function sortWords(tokens: Tokens, scope: Scope): Sorted {
  const { languageNames, fillers } = scope.vocabulary
  const keywords: Keyword[] = []
  const others: Token[] = []
  let hasLanguage = false
  for (const [at, token] of tokens.entries()) {
    const last = keywords.at(-1)?.tokens ?? []
    if (last.includes(token)) continue
    const keyword = parentsKeyword(tokens, at, scope)
    if (keyword !== undefined) keywords.push(keyword)
    else if (matchPhrase(languageNames, tokens, at) !== undefined) hasLanguage = true
    else others.push(token)
  }
  return { keywords, hasLanguage, others: dropPhrases(others, fillers) }
}

/** The acts of all keywords of a text as one keyword. */
function joined(keywords: readonly Keyword[]): Keyword {
  return {
    acts: [...new Set(keywords.flatMap(({ acts }) => acts))],
    tokens: keywords.flatMap(({ tokens }) => tokens),
    isExact: true,
  }
}

/** The name of a language needs no keyword. */
const BARE_LANGUAGE: Keyword = { acts: ['set-language'], tokens: [], isExact: true }

function readKeyword(keyword: Keyword, text: string, context: ReadContext): SingleAct | ReadProblem {
  const body = edited(text, { tokens: keyword.tokens, text: '' })
  const [act, other] = keyword.acts
  if (act === undefined) return plainProblem('not-understood')
  if (other !== undefined) return unclearKeyword(keyword, body, context)
  const reading = readAs(act, body, context)
  return isTrouble(reading) ? problemOf(reading, act, body, context) : reading
}

/** Longest name of a village that a parent may have typed behind a worker's keyword. */
const VILLAGE_WORDS = 2

function saysDay(tokens: Tokens, scope: Scope): boolean {
  return takeDay(tokens, { direction: 'past' }, scope).kind !== 'absent'
}

/** A whole report of a worker from a parent's number is refused; anything less is a message for a person. */
function readOthers(text: string, context: ReadContext): ReadProblem {
  const tokens = tokensOf(text)
  const keyword = headKeyword(tokens, { ...context, text })
  const [act] = keyword?.acts ?? []
  if (keyword === undefined || act === undefined || !keyword.isExact) return plainProblem('not-understood')
  const body = text.slice(keyword.tokens.at(-1)?.end)
  const isReport = !isTrouble(readAs(act, body, context))
  const words = tokensOf(body)
  const isShort =
    /\d/.test(body) || (words.length <= VILLAGE_WORDS && !saysDay(words, { ...context, text: body }))
  if (!isReport || !isShort) return plainProblem('not-understood')
  return { ...plainProblem('role-not-allowed', said(keyword.tokens)), understood: { act } }
}

/** Reads a text of a parent. */
export function readParent(given: string, context: ReadContext): SingleAct | ReadProblem {
  const text = withoutClosing(given, context)
  const scope = { ...context, text }
  const { keywords, hasLanguage, others } = sortWords(tokensOf(text), scope)
  const [first] = keywords
  const [only, another] = others
  // What follows HELP is its topic, be it a keyword itself.
  if (first?.acts.includes('help') === true) return readKeyword(first, text, context)
  if (only === undefined && first !== undefined) return readKeyword(joined(keywords), text, context)
  if (only === undefined && hasLanguage) return readKeyword(BARE_LANGUAGE, text, context)
  const near = only !== undefined && another === undefined ? nearKeyword(only, scope) : undefined
  if (near?.acts.every(isParents) === true && keywords.length === 0) return readKeyword(near, text, context)
  return readOthers(text, context)
}
