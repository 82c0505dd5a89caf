import { IN_OWN_WORDS } from './act-readers.ts'
import { exactKeyword, segmentOf } from './find-keyword.ts'
import type { Segment } from './find-keyword.ts'
import { matchPhrase } from './phrase-table.ts'
import { readAs } from './problem.ts'
import { takeCards } from './take-card.ts'
import { takeDay } from './take-day.ts'
import { takeVaccines, vaccineNameAt } from './take-vaccines.ts'
import { isTrouble } from './taken.ts'
import type { Scope } from './taken.ts'
import type { Token, Tokens } from './token.ts'

/** A text of several lines comes apart into the acts it holds. */

/** Most words of a name below a report. */
const NAME_WORDS = 3

/** Whether tokens say nothing that a report could hold. */
function saysNothing(tokens: Tokens, scope: Scope): boolean {
  return (
    tokens.every(({ digits }) => digits === null) &&
    !tokens.some((_, at) => vaccineNameAt(tokens, at, scope.vocabulary).kind === 'name') &&
    takeDay(tokens, { direction: 'past' }, scope).kind === 'absent'
  )
}

/** What stands in the text before a token. */
function gapBefore(tokens: Tokens, at: number, text: string): string {
  return text.slice(tokens[at - 1]?.end, tokens[at]?.start)
}

/** Whether a name at the end of the text begins at a token, on a line of its own or behind a dash: "- Asha Temba". */
function startsName(tokens: Tokens, at: number, scope: Scope): boolean {
  const isApart =
    tokens.length - at <= NAME_WORDS && /\n|(?:^|\s)[-~]/u.test(gapBefore(tokens, at, scope.text))
  const names = isApart ? tokens.slice(at) : []
  const areNames = names.length > 0 && names.every(({ text }) => /^\p{Lu}\p{Ll}+$/u.test(text))
  // A capital may also begin a vaccine, even a misspelt one.
  return areNames && takeVaccines(names, scope).kind === 'absent'
}

/** Tokens without the thanks, titles and names at their end, where nothing else is said there. */
export function withoutClosing(tokens: Tokens, mayEndInName: boolean, scope: Scope): Tokens {
  const { closings } = scope.vocabulary
  const start = tokens.findIndex(
    (_, at) =>
      at > 0 &&
      (matchPhrase(closings, tokens, at) !== undefined || (!mayEndInName && startsName(tokens, at, scope))),
  )
  return start !== -1 && saysNothing(tokens.slice(start), scope) ? tokens.slice(0, start) : tokens
}

/** The lines of a text; the numbers of a list ("1. ", "2) ") are left out. */
function linesOf(tokens: Tokens, text: string): Token[][] {
  const lines: Token[][] = []
  for (const [at, token] of tokens.entries()) {
    const isFirst = at === 0 || gapBefore(tokens, at, text).includes('\n')
    if (isFirst) lines.push([])
    const isListNumber = /^\d{1,2}$/.test(token.text) && /^[.)] /.test(text.slice(token.end, token.end + 2))
    if (!isFirst || !isListNumber) lines.at(-1)?.push(token)
  }
  return lines
}

/** GAVE … GAVE … in one line comes apart where each has a number. */
function reportsIn(line: Tokens, scope: Scope): Tokens[] {
  const hasNumber = (part: Tokens): boolean => part.some(({ digits }) => digits !== null)
  const isReport = (at: number): boolean =>
    exactKeyword(line, at, scope)?.acts.includes('record-doses') === true &&
    hasNumber(line.slice(0, at)) &&
    hasNumber(line.slice(at))
  const starts = [0, ...line.flatMap((_, at) => (at > 0 && isReport(at) ? [at] : []))]
  return starts.map((start, place) => line.slice(start, starts[place + 1]))
}

/** Whether a line that seems to begin an act goes on with the words of the one before. */
function goesOn(last: Segment, { keyword, tokens }: Segment, scope: Scope): boolean {
  const mayGoOn = !keyword.isExact || last.keyword.acts.some((act) => IN_OWN_WORDS.has(act))
  return mayGoOn && keyword.acts.every((act) => isTrouble(readAs(act, tokens, scope)))
}

/** The acts of a text, each with the lines that belong to it; what stands before the first keyword counts where it has a number. */
export function segmentsOf(tokens: Tokens, scope: Scope): Segment[] {
  const segments: Segment[] = []
  const preface: Token[] = []
  for (const line of linesOf(tokens, scope.text).flatMap((each) => reportsIn(each, scope))) {
    const found = segmentOf(line, scope)
    const last = segments.at(-1)
    if (found !== undefined && (last === undefined || !goesOn(last, found, scope))) segments.push(found)
    else if (last === undefined) preface.push(...line)
    else segments.splice(-1, 1, { ...last, tokens: [...last.tokens, ...line] })
  }
  const [first, ...others] = segments
  if (first === undefined || preface.every(({ digits }) => digits === null)) return segments
  return [{ ...first, tokens: [...preface, ...first.tokens] }, ...others]
}

/** Whether a line names a child: a card number, or eight digits that were meant as one. */
function namesChild(line: Tokens, scope: Scope): boolean {
  const cards = takeCards(line, scope)
  return cards.kind === 'taken' || (cards.kind === 'trouble' && cards.code === 'card-check-digit')
}

/** The children of one report, one a line; lines before the first count for each of them. */
export function childrenOf(tokens: Tokens, scope: Scope): Tokens[] {
  const lines = linesOf(tokens, scope.text)
  const starts = lines.length < 2 ? [] : lines.flatMap((line, at) => (namesChild(line, scope) ? [at] : []))
  if (starts.length < 2) return [tokens]
  const header = lines.slice(0, starts[0]).flat()
  return starts.map((start, place) => [...header, ...lines.slice(start, starts[place + 1]).flat()])
}
