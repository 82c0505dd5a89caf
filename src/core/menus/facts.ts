import type { Day } from '../days/day.ts'
import type { UncountedReason } from '../schedule/forecast-types.ts'
import type { AftercareCause } from '../texts/aftercare.ts'
import type { StepName } from './step.ts'

/** A child as a worker may see it on a screen. */
export interface ShownChild {
  /** First name. */
  readonly child: string
  readonly birthOn: Day
}

/** What may be given to a child today; the vaccines of the schedule that are not due are the others. */
export interface DueVaccines extends ShownChild {
  readonly isFollowed: boolean
  readonly due: readonly string[]
  readonly others: readonly string[]
}

/** What some doses would mean, were they stored. */
export interface DosePreview extends ShownChild {
  readonly uncounted: readonly { readonly vaccine: string; readonly reason: UncountedReason }[]
  /** Vaccines that stand on record for that day. */
  readonly known: readonly string[]
}

/** A session to come and who is expected at it. */
export interface ExpectedChildren {
  readonly place: string
  readonly on: Day
  readonly children: readonly { readonly card: string; readonly child: string }[]
}

/** A visit of one or more children of a family, on one day at one place. */
export interface FamilyVisit {
  /** One of the children, by which the visit is named. */
  readonly childId: string
  /** First names: "Asha, Jasper". */
  readonly child: string
  readonly count: number
  readonly on: Day
  readonly place: string
}

export interface FamilyVisits {
  readonly visits: readonly FamilyVisit[]
  readonly isStopped: boolean
}

/** A visit and the session it would move to; `null` where a dose would then be too late. */
export interface VisitMove {
  readonly visit: FamilyVisit
  readonly next: Day | null
}

export interface CoverageFigures {
  readonly place: string
  /** The year the figures are about. */
  readonly period: string
  /** Empty where there is no target. */
  readonly lines: readonly {
    readonly dose: string
    readonly percent: string
    readonly reached: number
    readonly target: number
  }[]
}

/** What each step must know before it can be shown; `null` where nothing. */
export interface StepFacts extends Record<StepName, unknown> {
  readonly 'vaccinator-home': null
  readonly 'manager-home': null
  readonly 'family-home': FamilyVisits
  readonly resume: null
  readonly result: null
  readonly card: null
  /** `null`: no child of the district has the card. */
  readonly vaccines: DueVaccines | null
  readonly 'other-vaccines': DueVaccines | null
  readonly 'check-doses': DosePreview | null
  readonly 'which-day': null
  readonly due: ExpectedChildren
  /** Names of the villages, those of the caller's post first. */
  readonly village: readonly string[]
  readonly birth: null
  readonly sex: null
  readonly phone: null
  readonly name: null
  readonly 'check-enrolment': null
  readonly alike: null
  /** What would be taken back; `null`: nothing. */
  readonly undo: string | null
  readonly technique: null
  readonly 'technique-card': null
  readonly 'which-visit': FamilyVisits
  /** `null`: no visit is planned any more. */
  readonly move: VisitMove | null
  /** How the vaccines of the family's last visit were given; empty where none was. */
  readonly after: ReadonlySet<AftercareCause>
  readonly language: null
  readonly 'check-language': null
  readonly stop: null
  readonly start: null
  readonly 'which-place': readonly { readonly id: string; readonly name: string }[]
  readonly coverage: CoverageFigures
  readonly missed: { readonly place: string; readonly count: number }
}
