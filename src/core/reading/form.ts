import type { ProblemCode, Understood } from './act.ts'
import { trouble } from './taken.ts'
import type { Scope, Taken, Trouble } from './taken.ts'
import { without } from './token.ts'
import type { Tokens } from './token.ts'

/** Finds one part of an act among tokens. */
export type Taker<T> = (tokens: Tokens, scope: Scope) => Taken<T>

/** The parts of one act, taken out of its tokens one after the other; the first trouble is kept, the rest still read. */
export interface Form {
  /** A part that may be left out. */
  readonly optional: <T>(taker: Taker<T>) => T | undefined
  /** A part that must be there, or the text has the problem of this code. */
  readonly needed: <T>(code: ProblemCode, taker: Taker<T>) => T | undefined
  /** Notes a trouble found in what is left. */
  readonly check: (find: (tokens: Tokens, scope: Scope) => Trouble | undefined) => void
  /** Tokens that no part has taken. */
  readonly left: () => Tokens
  /** The first trouble with all that was understood; `undefined` when every part is good. */
  readonly problem: (understood: Understood) => Trouble | undefined
}

export function openForm(tokens: Tokens, scope: Scope): Form {
  let left = tokens
  let first: Trouble | undefined

  const take = <T>(taker: Taker<T>, absent?: ProblemCode): T | undefined => {
    const part = taker(left, scope)
    if (part.kind === 'taken') {
      left = part.rest
      return part.value
    }
    if (part.kind === 'trouble') {
      first ??= part
      left = without(left, part.tokens ?? [])
    } else if (absent !== undefined) first ??= trouble(absent)
    return undefined
  }

  return {
    optional: (taker) => take(taker),
    needed: (code, taker) => take(taker, code),
    check: (find) => {
      first ??= find(left, scope)
    },
    left: () => left,
    problem: (understood) => first && { ...first, understood },
  }
}
