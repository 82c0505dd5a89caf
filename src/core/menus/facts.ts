import type { Day } from '../days/day.ts'
import type { UncountedReason } from '../schedule/forecast-types.ts'
import type { AftercareCause } from '../texts/aftercare.ts'
import type { StopReason } from '../vials/open-vial.ts'
import type { StepName } from './step.ts'
import type { Deed } from './view.ts'

/** What the steps must know before they can be shown. Children are called as the district calls them in texts. */

/** What may be given to a child today; the vaccines of the schedule that are not due are the others. */
export interface DueVaccines {
  readonly child: string
  readonly isFollowed: boolean
  readonly due: readonly string[]
  readonly others: readonly string[]
}

/** What some doses would mean, were they stored. */
export interface DosePreview {
  readonly child: string
  readonly birthOn: Day
  readonly uncounted: readonly { readonly vaccine: string; readonly reason: UncountedReason }[]
  /** Vaccines that stand on record for that day. */
  readonly known: readonly string[]
  /** Why they cannot be stored, as a sentence. */
  readonly refusal: string | null
}

/** A session to come and who is expected at it. */
export interface ExpectedChildren {
  readonly place: string
  readonly on: Day
  readonly children: readonly {
    readonly card: string
    readonly child: string
    /** An earlier reaction is to be asked about before a dose. */
    readonly isFlagged: boolean
  }[]
}

/** A vial in use, its discard time in words. */
export interface VialInUse {
  readonly vial: string
  readonly vaccine: string
  readonly until: string
}

/** A vial as it stands; `stop` says why no dose may be drawn although its conditions hold. */
export interface VialState extends VialInUse {
  readonly stop: `vial-stop-${StopReason}` | null
}

/** A lot that was opened before. */
export interface KnownLot {
  readonly lot: string
  readonly expiry: Day
}

/** A village to choose. */
export interface NamedPlace {
  readonly id: string
  readonly name: string
}

/** A child that fits what was asked: what tells it from others, and no more. */
export interface FoundChild {
  readonly card: string
  readonly child: string
  readonly birthOn: Day
}

/** What the steps of vaccinators and managers must know. */
export interface WorkerFacts {
  /** The villages, those of the caller's post first. */
  readonly 'find-village': readonly NamedPlace[]
  /** Likeliest first. */
  readonly found: readonly FoundChild[]
  /** `null`: no child of the district has the card. */
  readonly vaccines: DueVaccines | null
  readonly 'other-vaccines': DueVaccines | null
  readonly 'check-doses': DosePreview | null
  readonly due: ExpectedChildren
  /** Names of the villages, those of the caller's post first. */
  readonly village: readonly string[]
  readonly vials: readonly VialInUse[]
  /** The vaccines of the district. */
  readonly 'which-vaccine': readonly string[]
  /** Of the vaccine, not expired, the newest first. */
  readonly lot: readonly KnownLot[]
  /** `null`: it is not in use any more. */
  readonly vial: VialState | null
  readonly 'use-again': VialState | null
  /** How the child is called; `null`: no child of the district has the card. */
  readonly signs: string | null
  readonly 'check-signs': string | null
  /** The refrigerators of the caller's post. */
  readonly fridge: readonly string[]
  /** What would be taken back; `null`: nothing. */
  readonly undo: string | null
  readonly 'which-place': readonly NamedPlace[]
  /** The figures, as a text would have them. */
  readonly coverage: string
  readonly missed: { readonly place: string; readonly count: number }
}

/** A visit of one or more children of a family, on one day at one place. */
export interface FamilyVisit {
  /** One of the children, by which the visit is named. */
  readonly childId: string
  /** "Asha, Jasper". */
  readonly child: string
  readonly count: number
  /** In words, with the hours where they are known. */
  readonly day: string
  readonly place: string
}

/** What a family's first screen shows. */
export interface FamilyVisits {
  readonly visits: readonly FamilyVisit[]
  readonly isStopped: boolean
}

/** A visit and the day it would move to, in words; `null` where a dose would then be too late. */
export interface VisitMove {
  readonly visit: FamilyVisit
  readonly next: string | null
}

/** What the steps of parents must know. */
export interface FamilyFacts {
  readonly 'family-home': FamilyVisits
  readonly 'which-visit': FamilyVisits
  /** `null`: no visit is planned any more. */
  readonly move: VisitMove | null
  /** How the vaccines of the family's last visit were given; empty where none was. */
  readonly after: ReadonlySet<AftercareCause>
}

/** What is asked of whoever dials. */
export interface OwnFacts {
  /** What the step below would do with the PIN; `null`: nothing any more. */
  readonly pin: Deed | null
}

type KnownFacts = WorkerFacts & FamilyFacts & OwnFacts

/** What each step must know; `null` where nothing. */
export type StepFacts = {
  readonly [Name in StepName]: Name extends keyof KnownFacts ? KnownFacts[Name] : null
}
