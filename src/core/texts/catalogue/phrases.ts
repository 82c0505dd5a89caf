import { ERROR_PHRASES } from './error-phrases.ts'
import { HELP_PHRASES } from './help-phrases.ts'
import { PARENT_PHRASES } from './parent-phrases.ts'
import type { PhraseSpec, PlaceholderValues } from './placeholders.ts'
import { SCREEN_PHRASES } from './screen-phrases.ts'
import { WORKER_PHRASES } from './worker-phrases.ts'

/** Every phrase of the service. Each language has a text for each key in src/data/phrases. */
export const PHRASES = {
  ...PARENT_PHRASES,
  ...WORKER_PHRASES,
  ...ERROR_PHRASES,
  ...HELP_PHRASES,
  ...SCREEN_PHRASES,
} as const satisfies Record<string, PhraseSpec>

export type PhraseKey = keyof typeof PHRASES

/** What the caller fills in; the words to send are the book's own. */
export type PhraseValues<Key extends PhraseKey> = Pick<
  PlaceholderValues,
  Extract<(typeof PHRASES)[Key]['takes'][number], keyof PlaceholderValues>
>

/** Whether the catalogue has a phrase of this key. */
export function isPhraseKey(key: string): key is PhraseKey {
  return Object.hasOwn(PHRASES, key)
}

type AfterPrefix<Key, Prefix extends string> = Key extends `${Prefix}${infer Rest}` ? Rest : never

/** Codes of texts that could not be taken, each with an `error-…` phrase. */
export type TextErrorCode = AfterPrefix<PhraseKey, 'error-'>

/** The catalogue, by key in reading order, as plain data. */
export const PHRASE_SPECS: ReadonlyMap<PhraseKey, PhraseSpec> = new Map(
  // The keys of a literal object are exactly its type's keys.
  Object.entries(PHRASES) as [PhraseKey, PhraseSpec][],
)
