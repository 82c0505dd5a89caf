import type { Day } from './days/day.ts'
import type { PutOff } from './schedule/forecast-types.ts'

/** The records of the register, as every layer sees them. Identifiers are UUIDs. */

export interface District {
  readonly id: string
  readonly name: string
  /** IANA name, e.g. `Africa/Nairobi`. */
  readonly timeZone: string
  /** ISO 3166-1 alpha-2; names the numbering plan. */
  readonly region: string
  /** BCP 47 codes, the first is the default. */
  readonly languages: readonly string[]
  /** A calendar of Unicode CLDR, in which days are shown and may be typed. */
  readonly calendar: string
  /** True where 3/4 means the third of April. */
  readonly isDayFirst: boolean
  readonly scheduleCode: string
  readonly bundlingDays: number
  readonly reminderPolicy: string
  /** Texts in place of the phrase books', by language and key. */
  readonly wording: Readonly<Record<string, Readonly<Record<string, string>>>>
  /** How a child is called in texts. */
  readonly childNaming: 'first-name' | 'initials'
  /** True where people only practise: nothing of it leaves to a phone. */
  readonly isTraining: boolean
  /** Code of the policy on opened vials. */
  readonly vialPolicy: string
  /** Codes of the presentations it is supplied with, where several are in general use. */
  readonly products: readonly string[]
  /** The acts of texts and screens for which it asks a PIN; `core/pins/pin-rules.ts` has their names. */
  readonly pinActs: readonly string[]
}

/** When a place vaccinates: RFC 5545 recurrence rules, days added, days taken out. */
export interface SessionTimetable {
  readonly rules: readonly string[]
  readonly extraDays: readonly Day[]
  readonly exceptDays: readonly Day[]
}

export interface HealthPost {
  readonly id: string
  readonly districtId: string
  readonly name: string
  readonly sessions: SessionTimetable
  /** `09:00-13:00`; null where they are not known. */
  readonly sessionHours: string | null
  /** Its number on the national list of facilities. */
  readonly nationalId: string | null
  readonly kind: PostKind
  /** Last day of one that is there for a time only. */
  readonly untilOn: Day | null
}

export const POST_KINDS = ['permanent', 'outreach', 'temporary'] as const
export type PostKind = (typeof POST_KINDS)[number]

export interface Village {
  readonly id: string
  readonly districtId: string
  readonly postId: string
  readonly postName: string
  readonly name: string
  readonly population: number | null
  readonly birthsPer1000: number | null
  readonly infantDeathsPer1000Births: number | null
  readonly latitude: number | null
  readonly longitude: number | null
  /** The village's own timetable, or its post's where it has none. */
  readonly sessions: SessionTimetable
  /** The hours of its sessions, or of its post's where it follows those. */
  readonly sessionHours: string | null
  /** Where the sessions are held: in the village, or at its post. */
  readonly sessionPlace: string
}

export type Role = 'vaccinator' | 'manager' | 'officer' | 'operator'

/** Someone who works for the programme and whose phone is known. */
export interface Person {
  readonly id: string
  readonly districtId: string
  readonly postId: string | null
  readonly name: string
  readonly role: Role
  readonly phone: string
  readonly language: string
}

/** Which reminders a family wants; docs/reminders.md maps these to HL7 table 0215. */
export type Consent = 'asked' | 'given' | 'withdrawn'

/** One number, its language and consent; it may serve several children. */
export interface PhoneLine {
  readonly id: string
  readonly districtId: string
  readonly number: string
  readonly language: string
  readonly consent: Consent
  readonly stoppedAt: Date | null
  readonly preference: string
}

export type Sex = 'female' | 'male'

export const CHILD_STATUSES = [
  'active',
  'moved',
  'lost',
  'refused',
  'died',
  'away',
  'duplicate',
  'entered-in-error',
  'erased',
] as const
export type ChildStatus = (typeof CHILD_STATUSES)[number]

export interface Child {
  readonly id: string
  readonly districtId: string
  readonly villageId: string
  readonly cardNumber: string
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly isBirthEstimated: boolean
  readonly birthWeightGrams: number | null
  /** Minutes after midnight on the clock of the district; only measures in hours ask for it. */
  readonly birthMinute: number | null
  /** What clinicians decided for this child. */
  readonly ownPlan: OwnPlan
  readonly status: ChildStatus
  readonly statusOn: Day | null
  readonly statusReason: string | null
  /** The day of return of a child that is away. */
  readonly awayUntil: Day | null
  readonly enrolledOn: Day
  /** How the record came: `api`, `sms`, `ussd`, `import` … */
  readonly enrolledVia: string
  /** The record that stands for this one since both were found to be of one child. */
  readonly mergedInto: string | null
  /** Children of one birth share a group, each with its order in it. */
  readonly birthGroup: string | null
  readonly birthOrder: number | null
  /** The family had its data removed: the record counts, and says no more who it was. */
  readonly isErased: boolean
  /** The family does not want other systems told of it. */
  readonly isSharingBarred: boolean
}

/** What clinicians decided for one child, beside the schedule. */
export interface OwnPlan {
  readonly putOff: readonly PutOff[]
  /** Facts that rules of the schedule may ask for. */
  readonly risks: readonly string[]
}

/** One administration of one vaccine, as recorded. */
export interface Dose {
  readonly id: string
  readonly childId: string
  readonly vaccine: string
  readonly givenOn: Day
  /** The hour, where it was told: minutes after midnight on the clock of the district. */
  readonly givenMinute: number | null
  readonly typedNumber: number | null
  readonly delivery: 'routine' | 'campaign'
  readonly isElsewhere: boolean
  readonly recordedBy: string
  readonly recordedVia: string
  readonly recordedAt: Date
  readonly voidedAt: Date | null
  readonly voidReason: string | null
  /** The opened vial it was drawn from, where one is known. */
  readonly vialId: string | null
  /** Why a manager should look at the dose and its vial. */
  readonly vialFlags: readonly string[]
}

/** A dose that is to be given at a visit. */
export interface PlannedDose {
  readonly series: string
  readonly dose: number
  readonly vaccine: string
}

export type AppointmentStatus = 'planned' | 'kept' | 'missed' | 'replaced' | 'cancelled'

/** A child's visit: one session day and the doses to give on it. */
export interface Appointment {
  readonly id: string
  readonly childId: string
  readonly villageId: string
  readonly sessionOn: Day
  readonly doses: readonly PlannedDose[]
  readonly scheduleCode: string
  /** The family's wish to come no earlier. */
  readonly notBeforeOn: Day | null
  readonly status: AppointmentStatus
  readonly reason: string | null
}
