import type { Day } from '../days/day.ts'
import type { ReactionRoute } from './assess-reaction.ts'

/** A reaction on record. */
export interface Reaction {
  readonly id: string
  readonly districtId: string
  readonly childId: string
  readonly postId: string | null
  readonly reactionOn: Day
  readonly reportedAt: Date
  /** A person's identifier, or the name of a token. */
  readonly reportedBy: string
  readonly words: string
  /** Sign codes. */
  readonly signs: readonly string[]
  readonly outcomes: readonly string[]
  readonly isSerious: boolean
  readonly route: ReactionRoute
  /** Doses of the latest vaccination before it; none is said to be its cause. */
  readonly doseIds: readonly string[]
  /** Core variables an officer added, by code. */
  readonly facts: Readonly<Record<string, string>>
}

export type AlertKind = 'reaction' | 'cluster' | 'family-words' | 'cold-chain' | 'stock'

/** Something someone in the district must take on. */
export interface AlertOnRecord {
  readonly id: string
  readonly districtId: string
  /** Typed back to take it on. */
  readonly number: number
  readonly kind: AlertKind
  /** What alike alerts have in common. */
  readonly subject: string
  readonly postId: string | null
  readonly childId: string | null
  readonly reactionId: string | null
  readonly words: string
  readonly raisedAt: Date
  readonly stepsDone: readonly string[]
  readonly acknowledgedAt: Date | null
  readonly acknowledgedBy: string | null
  readonly notifiedAt: Date | null
  readonly investigatedAt: Date | null
  readonly closedAt: Date | null
}
