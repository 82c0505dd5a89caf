import type { Day } from '../days/day.ts'
import type { Sender } from './act.ts'
import type { Vocabulary } from './vocabulary.ts'

/** What must be known to read a text. */
export interface ReadContext {
  readonly from: Sender
  /** The day the text came. */
  readonly on: Day
  readonly vocabulary: Vocabulary
  /** The sender's, in which texts to choose from are written. */
  readonly language: string
  /** ISO 3166-1 alpha-2; names the numbering plan. */
  readonly region: string
  /** True where 3/4 means the third of April. */
  readonly isDayFirst: boolean
  /** Names of the district's villages; without them any name is taken. */
  readonly villages?: readonly string[] | undefined
}
