import type { Day, MonthEnd } from '../days/day.ts'
import type { Length } from './length.ts'
import type { Adoption, OverdueRule, ScheduleFile, VaccineFile } from './schedule-file.ts'

/** What is in the vial, and where its doses count. */
export interface Vaccine extends Omit<VaccineFile, 'site' | 'amount' | 'atc'> {
  readonly site: string | null
  readonly amount: string | null
  readonly atc: string | null
  /** Live, and kept apart from other live vaccines. */
  readonly isSpaced: boolean
  /** Series its doses count in, by index in `Schedule.series`. */
  readonly countsIn: readonly number[]
  /** Its own place among doses of one day: a dose that another is counted from comes first. */
  readonly rank: number
}

/** A wait: since birth (an age) or since an earlier dose. */
export interface Wait {
  /** The dose may be numbered and of any series, by index. */
  readonly since: 'birth' | 'previous' | { readonly series: number; readonly dose: number }
  /** Before it, the dose does not count. */
  readonly minimum: Length
  /** After it, the dose is asked for. */
  readonly usual: Length
  readonly takesGrace: boolean
  /** Holds only where both doses are of these vaccines. */
  readonly bothIn: readonly string[] | null
}

/** The rule of one numbered dose. */
export interface DoseRule {
  readonly number: number
  /** All must be over; the first, the age, always stands. */
  readonly waits: readonly Wait[]
  readonly overdue: OverdueRule | null
  /** May be given only before this age. */
  readonly before: Length | null
  /** The vaccine to ask for. */
  readonly give: Vaccine
}

/** What must be known of the child; `null` = does not matter. */
export interface Facts {
  readonly sex: 'female' | 'male' | null
  readonly flag: string | null
  readonly birthWeightBelow: number | null
  readonly birthWeightFrom: number | null
}

/** Rules that replace a series' own while all their conditions hold. */
export interface Variant {
  readonly when: readonly Condition[]
  readonly doses: readonly DoseRule[]
}

/** What must be true of a child and of the doses counted so far; `null` = does not matter. */
export interface Condition {
  readonly facts: Facts | null
  /** Every counted dose is of these vaccines, and there is one. */
  readonly products: readonly string[] | null
  readonly timing: Timing | null
}

/** When a counted dose must have been given. */
export interface Timing {
  readonly dose: number
  readonly from: Length | null
  readonly before: Length | null
  /** Time since the counted dose before it. */
  readonly gap: Length | null
}

/** Doses that are given and stand outside the numbering. */
export interface Outside {
  readonly facts: Facts | null
  readonly vaccines: readonly string[] | null
  readonly from: Length | null
  readonly before: Length | null
  readonly why: string
}

/** Numbered doses against one disease or group of diseases. */
export interface Series {
  readonly id: string
  readonly name: string
  readonly index: number
  readonly vaccines: readonly string[]
  readonly onlyFor: Facts | null
  readonly outside: readonly Outside[]
  readonly doses: readonly DoseRule[]
  readonly variants: readonly Variant[]
  readonly restartAfter: Length | null
}

/** A schedule that has been checked, made ready for forecasting. */
export interface Schedule {
  readonly id: string
  readonly version: string
  readonly title: string
  readonly notice: string
  readonly effectiveOn: Day
  readonly sources: ScheduleFile['sources']
  readonly remarks: ScheduleFile['remarks']
  readonly adoption: Adoption
  readonly monthEnd: MonthEnd
  readonly graceDays: number
  readonly repeatFrom: ScheduleFile['repeatFrom']
  readonly accepts: ScheduleFile['accepts']
  readonly liveSpacing: Length | null
  readonly vaccines: ReadonlyMap<string, Vaccine>
  readonly series: readonly Series[]
}
