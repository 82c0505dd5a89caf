import { SENDERS } from './act.ts'
import type { ActName, ReadProblem, SingleAct } from './act.ts'
import { IN_OWN_WORDS } from './act-readers.ts'
import { keywordAnywhere } from './find-keyword.ts'
import { matchPhrase } from './phrase-table.ts'
import { plainProblem, problemOf, readAs, unclearAct, unclearKeyword } from './problem.ts'
import type { ReadContext } from './read-context.ts'
import { childrenOf, segmentsOf, withoutClosing } from './segment.ts'
import type { Segment } from './segment.ts'
import { takeDay } from './take-day.ts'
import { edited, isTrouble, said } from './taken.ts'
import { tokensOf } from './token.ts'

/** Texts of vaccinators and managers: a keyword at the head, its parts behind, several acts one below the other. */

type Reading = SingleAct | ReadProblem

/** 0.1 ml of a fractional dose says nothing that the vaccine does not. */
const VOLUME = /(?<![\p{L}\p{N}])\d*[.,]?\d+ ?ml\b/giu

function readOne(act: ActName, given: string, context: ReadContext): Reading {
  const whole = act === 'record-doses' ? given.replace(VOLUME, ' ') : given
  const body = IN_OWN_WORDS.has(act) ? whole : withoutClosing(whole, context)
  const reading = readAs(act, body, context)
  if (isTrouble(reading)) return problemOf(reading, act, body, context)
  return (act === 'card-status' ? cardOrDoses(body, context) : undefined) ?? reading
}

/** CARD with vaccines behind it may be a report. */
function cardOrDoses(body: string, context: ReadContext): ReadProblem | undefined {
  const doses = readAs('record-doses', body, context)
  return isTrouble(doses) ? undefined : unclearAct(['record-doses', 'card-status'], body, context)
}

function saysDay(body: string, context: ReadContext): boolean {
  return takeDay(tokensOf(body), { direction: 'past' }, { ...context, text: body }).kind !== 'absent'
}

/** The children of one GAVE. Where some lines say a day and others none, the others' day is not guessed. */
function readChildren(body: string, context: ReadContext): Reading[] {
  const children = childrenOf(body, context)
  const withDay = children.filter((child) => saysDay(child, context))
  const isMixed = withDay.length > 0 && withDay.length < children.length
  return children.map((child) => {
    const reading = readOne('record-doses', child, context)
    const isDayless = isMixed && !withDay.includes(child)
    return isDayless && 'act' in reading && reading.act === 'record-doses' ? dayMissing(reading) : reading
  })
}

function dayMissing({ act, card, vaccines }: Extract<SingleAct, { act: 'record-doses' }>): ReadProblem {
  return { ...plainProblem('date-missing'), understood: { act, card, vaccines } }
}

function readSegment({ keyword, body }: Segment, context: ReadContext): Reading[] {
  const [act, other] = keyword.acts
  if (act === undefined) return []
  if (!SENDERS[act].includes(context.from))
    return [{ ...plainProblem('role-not-allowed', said(keyword.tokens)), understood: { act } }]
  if (other !== undefined) return [unclearKeyword(keyword, body, context)]
  return act === 'record-doses' ? readChildren(body, context) : [readOne(act, body, context)]
}

/** A text without a keyword at its head: one inside it, the name of a language, or a card number alone. */
function readWithoutHead(text: string, context: ReadContext): Reading[] {
  const scope = { ...context, text }
  const tokens = tokensOf(text)
  const keyword = keywordAnywhere(tokens, scope)
  if (keyword !== undefined)
    return readSegment({ keyword, body: edited(text, { ...keyword, text: '' }) }, context)
  const language = matchPhrase(context.vocabulary.languageNames, tokens, 0)
  if (language !== undefined) return [readOne('set-language', text, context)]
  const mayRecord = SENDERS['record-doses'].includes(context.from)
  const unclear = mayRecord ? unclearAct(['record-doses', 'card-status'], text, context) : undefined
  return [unclear ?? plainProblem('not-understood')]
}

/** Reads a text of someone who works for the programme; one reading for each act. */
export function readStaff(text: string, context: ReadContext): Reading[] {
  const segments = segmentsOf(text, context)
  return segments.length > 0
    ? segments.flatMap((segment) => readSegment(segment, context))
    : readWithoutHead(text, context)
}
