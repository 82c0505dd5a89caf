import type { ProblemCode, SingleAct, Understood } from './act.ts'
import type { ReadContext } from './read-context.ts'
import type { Tokens } from './token.ts'

/** Why a text, or a part of it, could not be read. */
export interface Trouble {
  readonly kind: 'trouble'
  readonly code: ProblemCode
  /** The part that was wrong; empty where something is missing. */
  readonly tokens?: Tokens
  readonly understood?: Understood
  /** What could stand there instead; those with which the text can be read are offered to the sender. */
  readonly alternatives?: readonly Edit[]
}

/** Some tokens of a text and what to write in their place. */
export interface Edit {
  readonly tokens: Tokens
  readonly text: string
}

/** What a part of a text says, and the tokens that are left. */
export type Taken<T> =
  { readonly kind: 'taken'; readonly value: T; readonly rest: Tokens } | { readonly kind: 'absent' } | Trouble

/** The cleaned text to which tokens belong, and what is known around it. */
export interface Scope extends ReadContext {
  readonly text: string
}

/** Reads what follows one act's keyword. */
export type ActReader = (tokens: Tokens, scope: Scope) => SingleAct | Trouble

/** Makes a trouble; nothing is thrown. */
export function trouble(code: ProblemCode, more: Omit<Trouble, 'kind' | 'code'> = {}): Trouble {
  return { kind: 'trouble', code, ...more }
}

/** Whether an act could not be read. */
export function isTrouble(reading: SingleAct | Trouble): reading is Trouble {
  return 'kind' in reading
}

/** A text with the first of the tokens rewritten and the others left out. */
export function edited(text: string, { tokens, text: instead }: Edit): string {
  const places = tokens.toSorted((a, b) => b.start - a.start)
  return places.reduce((sofar, { start, end }, at) => {
    const isFirst = at === places.length - 1
    return `${sofar.slice(0, start)}${isFirst ? ` ${instead} ` : ' '}${sofar.slice(end)}`
  }, text)
}

/** Tokens as typed, for saying them back. */
export function said(tokens: Tokens): string {
  return tokens.map((token) => token.text).join(' ')
}
