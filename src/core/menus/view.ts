import type { Day } from '../days/day.ts'
import type { SingleAct } from '../reading/act.ts'
import type { PhraseBook } from '../texts/phrases.ts'
import { sayDay } from '../texts/say-day.ts'
import type { VialConditions } from '../vials/conditions.ts'
import type { DiscardReason } from '../vials/discard-reason.ts'
import type { Problem, Step } from './step.ts'

/** Who dials, and how to speak to them. */
export interface Caller {
  readonly book: PhraseBook
  readonly today: Day
  /** The district's habits, as for texts. */
  readonly calendar: string
  readonly isDayFirst: boolean
  readonly region: string
  /** The health post, or the district of who has none. */
  readonly place: string
  /** The books of the languages the district writes in. */
  readonly languages: readonly PhraseBook[]
  /** True for a worker of a district that asks a PIN for something. */
  readonly hasPin: boolean
  /** True for a worker who is also a parent. */
  readonly hasOwnChildren: boolean
}

/** A day in the caller's language and calendar. */
export function dayInWords({ book, calendar }: Caller, day: Day): string {
  return sayDay(day, { language: book.language, calendar })
}

/** A birth date, with its year. */
export function birthInWords({ book, calendar }: Caller, day: Day): string {
  return sayDay(day, { language: book.language, calendar, withYear: true })
}

/** Something to be done for good: the act a text would be, and what a text cannot say. */
export interface Deed {
  readonly act: SingleAct
  /** Only with `enrol`: the children that look alike were shown. */
  readonly isKnownToBeNew?: boolean
  /** Only with `move-later`: whose visit. */
  readonly childId?: string
  /** Only with `open-vial`: as they were answered. */
  readonly conditions?: VialConditions
  /** Only with `discard-vial`. */
  readonly reason?: DiscardReason
  /** Only with `report-reaction`: codes of what was seen. */
  readonly signs?: readonly string[]
  /** As it was typed; never part of a step, which is stored. */
  readonly pin?: string
}

/** Where a key leads. */
export type Move =
  /** To a step, by way of the others. */
  | { readonly kind: 'go'; readonly to: readonly Step[] }
  | { readonly kind: 'do'; readonly deed: Deed }
  | { readonly kind: 'back' }
  | { readonly kind: 'home' }
  | { readonly kind: 'problem'; readonly problem: Problem }

/** One line to choose by its number. */
export type Option = Choice | Tick

/** A line that leads somewhere. */
export interface Choice {
  readonly label: string
  readonly move: Move
  /** True for the one that writes: its key is used for nothing else. */
  readonly isFinal?: boolean
}

/** A line of which several may be chosen at once. */
export interface Tick {
  readonly label: string
  readonly picks: string
}

/** What one step shows, however many screens it takes. */
export interface View {
  readonly text: string
  readonly options: readonly Option[]
  /** Lines that a screen holds at most, where that is fewer than it has keys for. */
  readonly optionsAScreen?: number
  /** Reads what is typed and is no key; `undefined` where it makes no sense. */
  readonly read?: (typed: string) => Move | undefined
  /** Where the ticks lead whose numbers were typed, one or several at once. */
  readonly pick?: (picked: readonly string[]) => Move
  /** True when the dialogue ends with the last screen. */
  readonly ends?: boolean
}

/** The move to a step, by way of others. */
export function go(...to: readonly Step[]): Move {
  return { kind: 'go', to }
}

/** A line that leads to a step, by way of others. */
export function option(label: string, ...to: readonly Step[]): Choice {
  return { label, move: go(...to) }
}

/** The option that writes. */
export function finalOption(label: string, deed: Deed): Choice {
  return { label, move: { kind: 'do', deed }, isFinal: true }
}
