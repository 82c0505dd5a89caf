import { SENDERS } from './act.ts'
import type { ActName, ReadProblem, SingleAct } from './act.ts'
import { IN_NAMES, IN_OWN_WORDS } from './act-readers.ts'
import { segmentAnywhere } from './find-keyword.ts'
import type { Segment } from './find-keyword.ts'
import { matchPhrase } from './phrase-table.ts'
import { plainProblem, problemOf, readAs, unclearAct, unclearKeyword } from './problem.ts'
import { childrenOf, segmentsOf, withoutClosing } from './segment.ts'
import { takeDay } from './take-day.ts'
import { isTrouble, said } from './taken.ts'
import type { Scope } from './taken.ts'
import type { Tokens } from './token.ts'

/** Texts of vaccinators and managers: a keyword at the head, its parts behind, several acts one below the other. */

type Reading = SingleAct | ReadProblem

function readOne(act: ActName, given: Tokens, scope: Scope): Reading {
  const tokens = IN_OWN_WORDS.has(act) ? given : withoutClosing(given, IN_NAMES.has(act), scope)
  const reading = readAs(act, tokens, scope)
  if (isTrouble(reading)) return problemOf(reading, act, tokens, scope)
  // CARD with vaccines behind it may be a report.
  const unclear =
    act === 'card-status' ? unclearAct(['record-doses', 'card-status'], tokens, scope) : undefined
  return unclear ?? reading
}

function saysDay(tokens: Tokens, scope: Scope): boolean {
  return takeDay(tokens, { direction: 'past' }, scope).kind !== 'absent'
}

/** The children of one GAVE. Where some lines say a day and others none, the others' day is not guessed. */
function readChildren(tokens: Tokens, scope: Scope): Reading[] {
  const children = childrenOf(tokens, scope)
  if (children.length === 1) return [readOne('record-doses', tokens, scope)]
  const withDay = children.filter((child) => saysDay(child, scope))
  const isMixed = withDay.length > 0 && withDay.length < children.length
  return children.map((child) => {
    const reading = readOne('record-doses', child, scope)
    const isDayless = isMixed && !withDay.includes(child)
    return isDayless && 'act' in reading && reading.act === 'record-doses' ? dayMissing(reading) : reading
  })
}

function dayMissing({ act, card, vaccines }: Extract<SingleAct, { act: 'record-doses' }>): ReadProblem {
  return { ...plainProblem('date-missing'), understood: { act, card, vaccines } }
}

function readSegment(segment: Segment, scope: Scope): Reading[] {
  const { keyword, tokens } = segment
  const [act, other] = keyword.acts
  if (act === undefined) return []
  if (!SENDERS[act].includes(scope.from))
    return [{ ...plainProblem('role-not-allowed', said(keyword.tokens)), understood: { act } }]
  if (other !== undefined) return [unclearKeyword(segment, scope)]
  return act === 'record-doses' ? readChildren(tokens, scope) : [readOne(act, tokens, scope)]
}

/** A text without a keyword at its head: one inside it, the name of a language, or a card number alone. */
function readWithoutHead(tokens: Tokens, scope: Scope): Reading[] {
  const segment = segmentAnywhere(tokens, scope)
  if (segment !== undefined) return readSegment(segment, scope)
  const language = matchPhrase(scope.vocabulary.languageNames, tokens, 0)
  if (language !== undefined) return [readOne('set-language', tokens, scope)]
  const mayRecord = SENDERS['record-doses'].includes(scope.from)
  const unclear = mayRecord ? unclearAct(['record-doses', 'card-status'], tokens, scope) : undefined
  return [unclear ?? plainProblem('not-understood')]
}

/** Reads a text of someone who works for the programme; one reading for each act. */
export function readStaff(tokens: Tokens, scope: Scope): Reading[] {
  const segments = segmentsOf(tokens, scope)
  return segments.length > 0
    ? segments.flatMap((segment) => readSegment(segment, scope))
    : readWithoutHead(tokens, scope)
}
