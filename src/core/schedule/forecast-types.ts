import type { Day } from '../days/day.ts'
import type { Length } from './length.ts'

/** A dose as recorded: what was given and on which day. The engine numbers it, never the recorder. */
export interface GivenDose {
  readonly vaccine: string
  readonly on: Day
}

/** A clinician's word that a vaccine is not asked for before a day. */
export interface PutOff {
  readonly vaccine: string
  readonly until: Day
}

/** What the schedule needs to know of a child. */
export interface ChildFacts {
  readonly birthOn: Day
  readonly sex?: 'female' | 'male'
  readonly birthWeightGrams?: number
  /** Facts a clinician entered that a schedule may ask for: `preterm`, `outbreak`. */
  readonly flags?: readonly string[]
  /** Dates of next doses move with it; what counts of given doses does not. */
  readonly putOff?: readonly PutOff[]
  readonly given: readonly GivenDose[]
}

/** Why a dose does not count (docs/schedule-format.md); `null` when it does. */
export type UncountedReason =
  | 'too-young'
  | 'too-soon'
  | 'live-conflict'
  | 'too-old'
  | 'repeat-same-day'
  | 'before-birth'
  | 'future'
  | 'surplus'
  | 'not-counted'

/** A day and how it is reckoned: `add` counted from a birth, a given dose or the due day. */
export interface Limit {
  readonly on: Day
  readonly add: Length
  readonly since: JudgedDose | 'birth' | 'due' | 'clinician'
}

/** What one given dose means for one series. */
export interface Verdict {
  readonly series: string
  /** The number the dose has by history, or would have had; `null` when it stands outside the numbering. */
  readonly dose: number | null
  readonly valid: boolean
  readonly reason: UncountedReason | null
  /** The first or last day the dose missed, where a day was missed. */
  readonly missed: Limit | null
}

export interface JudgedDose extends GivenDose {
  readonly counts: readonly Verdict[]
}

export type NextDoseStatus = 'not-yet' | 'due' | 'overdue' | 'closed'

/** The next dose of an unfinished series. Dates stay true even when they lie in the past. */
export interface NextDose {
  readonly series: string
  readonly dose: number
  /** The vaccine to ask for. */
  readonly vaccine: string
  readonly earliest: Day
  readonly due: Day
  /** The first day on which the dose is late. */
  readonly overdue: Day | null
  /** Last day on which it may still be given. */
  readonly latest: Day | null
  readonly status: NextDoseStatus
  /** How each date is reckoned. */
  readonly limits: {
    readonly earliest: Limit
    readonly due: Limit
    readonly overdue: Limit | null
    readonly latest: Limit | null
  }
}

export interface Forecast {
  /** Every dose handed in, in the order it was handed in. */
  readonly given: readonly JudgedDose[]
  /** Exactly one row per unfinished series, in schedule order; none for a series that waits for another. */
  readonly next: readonly NextDose[]
  /** Series that are finished, in schedule order. */
  readonly complete: readonly string[]
}
