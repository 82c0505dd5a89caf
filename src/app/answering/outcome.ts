import type { ActName } from '../../core/reading/act.ts'
import type { Effect } from '../../store/effects.ts'

/** What a text came to: its reply and what to keep about it. */
export interface Outcome {
  /** Null: no reply (an echo of our own text, a name instead of a number). */
  readonly reply: string | null
  readonly act: ActName | 'several' | null
  readonly problem: string | null
  readonly effect: Effect | null
}
