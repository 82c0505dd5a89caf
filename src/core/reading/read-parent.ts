import { SENDERS } from './act.ts'
import type { ActName, ReadProblem, SingleAct } from './act.ts'
import { exactKeyword, nearKeyword, segmentOf } from './find-keyword.ts'
import type { Keyword } from './find-keyword.ts'
import { matchPhrase } from './phrase-table.ts'
import { plainProblem, problemOf, readAs, unclearKeyword } from './problem.ts'
import { withoutClosing } from './segment.ts'
import { takeDay } from './take-day.ts'
import { dropPhrases } from './take-parts.ts'
import { isTrouble, said } from './taken.ts'
import type { Scope } from './taken.ts'
import { without } from './token.ts'
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
  const { languageNames, languageCodes, fillers } = scope.vocabulary
  const keywords: Keyword[] = []
  const others: Token[] = []
  let hasLanguage = false
  for (const [at, token] of tokens.entries()) {
    const last = keywords.at(-1)?.tokens ?? []
    if (last.includes(token)) continue
    const keyword = parentsKeyword(tokens, at, scope)
    if (keyword !== undefined) keywords.push(keyword)
    else if (matchPhrase(languageNames, tokens, at) !== undefined) hasLanguage = true
    // A code is a language only behind the keyword: "en" is a word in many.
    else if (
      keywords.at(-1)?.acts.includes('set-language') === true &&
      languageCodes.has(token.key.toLowerCase())
    )
      hasLanguage = true
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

function readKeyword(keyword: Keyword, text: Tokens, scope: Scope): SingleAct | ReadProblem {
  const tokens = without(text, keyword.tokens)
  const [act, other] = keyword.acts
  if (act === undefined) return plainProblem('not-understood')
  if (other !== undefined) return unclearKeyword({ keyword, tokens }, scope)
  const reading = readAs(act, tokens, scope)
  return isTrouble(reading) ? problemOf(reading, act, tokens, scope) : reading
}

/** Longest name of a village that a parent may have typed behind a worker's keyword. */
const VILLAGE_WORDS = 2

/** Whether tokens are a worker's report and no message that happens to begin like one. */
function isReport(act: ActName, tokens: Tokens, scope: Scope): boolean {
  if (isTrouble(readAs(act, tokens, scope))) return false
  const hasNumber = tokens.some(({ digits }) => digits !== null)
  const saysDay = takeDay(tokens, { direction: 'past' }, scope).kind !== 'absent'
  return hasNumber || (tokens.length <= VILLAGE_WORDS && !saysDay)
}

/** A whole report of a worker from a parent's number is refused; anything less is a message for a person. */
function readOthers(text: Tokens, scope: Scope): ReadProblem {
  const { keyword, tokens } = segmentOf(text, scope) ?? {}
  const [act] = keyword?.acts ?? []
  if (keyword?.isExact !== true || act === undefined || !isReport(act, tokens ?? [], scope))
    return plainProblem('not-understood')
  return { ...plainProblem('role-not-allowed', said(keyword.tokens)), understood: { act } }
}

/** Reads a text of a parent. */
export function readParent(given: Tokens, scope: Scope): SingleAct | ReadProblem {
  const text = withoutClosing(given, true, scope)
  const { keywords, hasLanguage, others } = sortWords(text, scope)
  const [first] = keywords
  const [only, another] = others
  // What follows HELP is its topic, be it a keyword itself.
  if (first?.acts.includes('help') === true) return readKeyword(first, text, scope)
  if (only === undefined && first !== undefined) return readKeyword(joined(keywords), text, scope)
  if (only === undefined && hasLanguage) return readKeyword(BARE_LANGUAGE, text, scope)
  const near = another === undefined ? nearKeyword(only, scope) : undefined
  if (near?.acts.every(isParents) === true && first === undefined) return readKeyword(near, text, scope)
  return readOthers(text, scope)
}
