import { isReadProblem } from './act.ts'
import type { Act, ReadProblem, SingleAct } from './act.ts'
import { cleanText, withoutMarks } from './clean-text.ts'
import { plainProblem } from './problem.ts'
import type { ReadContext } from './read-context.ts'
import { readParent } from './read-parent.ts'
import { readStaff } from './read-staff.ts'
import { tokensOf } from './token.ts'

/** A line of dashes and all below it: a mail program's or a phone's signature. */
const SIGNATURE = /\n[-_=~*]{2,}[^]*$/u

/**
 * What a text means. Never throws and never picks one of two meanings; a text with a problem in one line does
 * nothing in the others. docs/texts-in.md lists all that can be sent.
 * @example read('gave 4821 7739 opv yesterday', context) // { act: 'record-doses', card: '48217739', … }
 */
export function read(text: string, context: ReadContext): Act | ReadProblem {
  const clean = cleanText(text).replace(SIGNATURE, '')
  if (!/[\p{L}\p{N}]/u.test(clean))
    return plainProblem(withoutMarks(text).trim() === '' ? 'empty' : 'not-understood')
  const scope = { ...context, text: clean }
  const tokens = tokensOf(clean)
  return context.from === 'parent' ? readParent(tokens, scope) : together(readStaff(tokens, scope))
}

/** The readings of all lines as one: an act, several, or the first problem. */
function together(readings: readonly (SingleAct | ReadProblem)[]): Act | ReadProblem {
  const acts: SingleAct[] = []
  for (const reading of readings) {
    const isRepeat = acts.some((act) => JSON.stringify(act) === JSON.stringify(reading))
    if (!isReadProblem(reading) && !isRepeat) acts.push(reading)
  }
  const problem = readings.find(isReadProblem)
  if (problem !== undefined && acts.length > 0)
    return { ...problem, understood: { ...problem.understood, acts } }
  const [first, second] = acts
  if (problem !== undefined || first === undefined) return problem ?? plainProblem('not-understood')
  return second === undefined ? first : { act: 'several', acts }
}
