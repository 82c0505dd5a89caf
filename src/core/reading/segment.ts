import { IN_OWN_WORDS } from './act-readers.ts'
import { exactKeyword, headKeyword } from './find-keyword.ts'
import type { Keyword } from './find-keyword.ts'
import { matchPhrase } from './phrase-table.ts'
import { readAs } from './problem.ts'
import type { ReadContext } from './read-context.ts'
import { takeCards } from './take-card.ts'
import { vaccineNameAt } from './take-vaccines.ts'
import { isTrouble } from './taken.ts'
import { tokensOf } from './token.ts'
import type { Tokens } from './token.ts'

/** A text of several lines comes apart into the acts it holds. */

/** One act's part of a text. */
export interface Segment {
  readonly keyword: Keyword
  /** What follows the keyword. */
  readonly body: string
}

/** A text without what follows a word of thanks or a title, where that is only a name or a phone's signature. */
export function withoutClosing(text: string, { vocabulary }: ReadContext): string {
  const tokens = tokensOf(text)
  const at = tokens.findIndex((_, index) => index > 0 && matchPhrase(vocabulary.closings, tokens, index))
  if (at === -1) return text
  const saysMore = (index: number): boolean =>
    tokens[index]?.digits != null || vaccineNameAt(tokens, index, vocabulary).kind === 'name'
  const rest = tokens.slice(at).map((_, step) => at + step)
  return rest.some(saysMore) ? text : text.slice(0, tokens[at]?.start)
}

function segmentOf(line: string, context: ReadContext): Segment | undefined {
  const keyword = headKeyword(tokensOf(line), { ...context, text: line })
  if (keyword === undefined) return undefined
  const body = line.slice(keyword.tokens.at(-1)?.end)
  // GAVE GAVE is one GAVE.
  const again = exactKeyword(tokensOf(body), 0, { ...context, text: body })
  const isDoubled = again !== undefined && again.acts[0] === keyword.acts[0]
  return { keyword, body: isDoubled ? body.slice(again.tokens.at(-1)?.end) : body }
}

/** Whether a line that seems to begin an act goes on with the words of the one before. */
function goesOn(last: Segment, found: Segment, context: ReadContext): boolean {
  const mayGoOn = !found.keyword.isExact || last.keyword.acts.some((act) => IN_OWN_WORDS.has(act))
  return mayGoOn && found.keyword.acts.every((act) => isTrouble(readAs(act, found.body, context)))
}

/** GAVE … GAVE … in one line comes apart where each has a number. */
function reportsIn(line: string, context: ReadContext): string[] {
  const tokens = tokensOf(line)
  const hasNumber = (part: Tokens): boolean => part.some(({ digits }) => digits !== null)
  const starts = tokens.flatMap((token, at) => {
    const keyword = exactKeyword(tokens, at, { ...context, text: line })
    const isReport = keyword?.acts.includes('record-doses') === true
    return isReport && hasNumber(tokens.slice(0, at)) && hasNumber(tokens.slice(at)) ? [token.start] : []
  })
  return [0, ...starts].map((start, at) => line.slice(start, starts[at]).trim())
}

/** The acts of a text, each with the lines that belong to it; words before the first keyword count where they have a number. */
export function segmentsOf(text: string, context: ReadContext): Segment[] {
  const segments: Segment[] = []
  const preface: string[] = []
  for (const line of text.split('\n').flatMap((each) => reportsIn(each, context))) {
    const found = segmentOf(line, context)
    const last = segments.at(-1)
    if (found !== undefined && (last === undefined || !goesOn(last, found, context))) segments.push(found)
    else if (last === undefined) preface.push(line)
    else segments.splice(-1, 1, { ...last, body: `${last.body}\n${line}` })
  }
  const [first, ...others] = segments
  if (first === undefined || !/\d/.test(preface.join())) return segments
  return [{ ...first, body: [...preface, first.body].join('\n') }, ...others]
}

/** Whether a line names a child: a card number, or eight digits that were meant as one. */
function namesChild(line: string, context: ReadContext): boolean {
  const cards = takeCards(tokensOf(line), { ...context, text: line })
  return cards.kind === 'taken' || (cards.kind === 'trouble' && cards.code === 'card-check-digit')
}

/** The children of one report, one a line; lines before the first count for each of them. */
export function childrenOf(body: string, context: ReadContext): string[] {
  const lines = body.split('\n')
  const starts = lines.flatMap((line, at) => (namesChild(line, context) ? [at] : []))
  if (starts.length < 2) return [body]
  const header = lines.slice(0, starts[0])
  return starts.map((start, at) => [...header, ...lines.slice(start, starts[at + 1])].join('\n'))
}
