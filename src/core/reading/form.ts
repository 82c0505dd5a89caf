import type { ProblemCode, SingleAct, Understood } from './act.ts'
import { trouble } from './taken.ts'
import type { Scope, Taken, Trouble } from './taken.ts'
import { without } from './token.ts'
import type { Tokens } from './token.ts'

/** Finds one part of an act among tokens. */
export type Taker<T> = (tokens: Tokens, scope: Scope) => Taken<T>

/** Parts of an act as far as they were found. */
type Found<Parts> = { readonly [Field in keyof Parts]: Parts[Field] | undefined }
type Maybe = { readonly [Field in keyof Understood]: Understood[Field] | null | undefined }

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
  /**
   * The act, made of its needed parts, if nothing was wrong; else the first trouble with all that was understood:
   * the needed parts that were found and `others`.
   */
  readonly finish: <Parts>(
    parts: Found<Parts>,
    make: (parts: Parts) => SingleAct,
    others?: Maybe,
  ) => SingleAct | Trouble
}

/** The fields that have a value. */
function known(fields: object): Understood {
  return Object.fromEntries(
    Object.entries(fields).filter(([, value]: [string, unknown]) => value !== undefined && value !== null),
  )
}

/** Opens a form on the tokens of one act. */
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
    finish: (parts, make, others = {}) => {
      if (first !== undefined) return { ...first, understood: known({ ...parts, ...others }) }
      // A needed part that was not found has left its trouble.
      return make(parts as Parameters<typeof make>[0])
    },
  }
}
