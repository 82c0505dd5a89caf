import type { Day } from '../days/day.ts'
import type { Sex } from '../model.ts'

/** Who a text comes from, by the sender's registered number. */
export type Sender = 'vaccinator' | 'manager' | 'parent'

/** A dose number that was typed behind a vaccine; history, not this number, counts the dose. */
export interface TypedDose {
  readonly vaccine: string
  readonly dose: number
}

/** What a visit at home found, in the words of a child's status. */
export type VisitOutcome = 'active' | 'moved' | 'died' | 'refused' | 'lost' | 'away'

/** Why a dose was not given or a child did not come. */
export type Reason =
  | 'refused'
  | 'ill'
  | 'out-of-stock'
  | 'contraindicated'
  | 'no-session'
  | 'too-far'
  | 'no-time'
  | 'not-told'
  | 'fear'

/** Closed vials on their way: out to a session, or back in the store. */
export type StockMove = 'taken-out' | 'brought-back'

/** What is in store of one vaccine, came into it, or was thrown away closed. */
export interface StockCount {
  /** Left out: counted. */
  readonly kind?: 'received' | 'discarded-closed'
  readonly vaccine: string
  readonly count: number
  readonly unit: 'vials' | 'doses'
  /** In capitals, as on the carton; left out where it was not told. */
  readonly lot?: string
}

/** One thing a sender asks for or reports; docs/texts-in.md shows how each is written. */
export type SingleAct =
  | {
      readonly act: 'record-doses'
      readonly card: string
      /** Empty when `all`. */
      readonly vaccines: readonly string[]
      readonly typed: readonly TypedDose[]
      /** All that is due on the day. */
      readonly all: boolean
      readonly date: Day
      readonly vial: string | null
    }
  | {
      readonly act: 'enrol'
      readonly village: string
      readonly birthDate: Day
      readonly sex: Sex
      /** E.164; `null` where the family has none. */
      readonly phone: string | null
      readonly name: string
    }
  | { readonly act: 'due-list'; readonly village: string | null; readonly date: Day | null }
  | { readonly act: 'card-status'; readonly card: string }
  /** `expiry` is the last good day: the end of the month where only a month was typed. */
  | { readonly act: 'open-vial'; readonly vaccine: string; readonly lot: string; readonly expiry: Day }
  | { readonly act: 'discard-vial'; readonly vial: string; readonly why: string | null }
  | { readonly act: 'report-reaction'; readonly card: string; readonly words: string }
  /** `card` is set where the sender says whose entry to take back. */
  | { readonly act: 'undo'; readonly card: string | null }
  | {
      readonly act: 'record-visit'
      readonly card: string
      readonly outcome: VisitOutcome
      readonly reason: Reason | null
      /** Only with `away`: the day of return. */
      readonly until: Day | null
      readonly words: string | null
    }
  | {
      readonly act: 'record-not-given'
      readonly card: string
      readonly vaccines: readonly string[]
      readonly reason: Reason
      readonly date: Day
    }
  | {
      readonly act: 'record-temperature'
      readonly celsius: number
      readonly fridge: string | null
      readonly date: Day
    }
  /** `why` only where vials were thrown away. */
  | {
      readonly act: 'record-stock'
      readonly counts: readonly StockCount[]
      readonly why?: string
      /** All of them were carried out, or came back; none of them has a kind then. */
      readonly moved?: StockMove
    }
  /** The two cards of one child, or one card with doses recorded twice. */
  | {
      readonly act: 'flag-double'
      readonly card: string
      readonly other: string | null
      readonly vaccines: readonly string[]
    }
  | { readonly act: 'rename-child'; readonly card: string; readonly name: string }
  | { readonly act: 'coverage'; readonly village: string | null }
  | { readonly act: 'missed-list'; readonly village: string | null }
  /** The manager has seen an alert. */
  | { readonly act: 'acknowledge'; readonly reference: string | null }
  /** A new PIN; its digits are taken out of the text before it is stored. */
  | { readonly act: 'set-pin' }
  /** The rest of a long list. */
  | { readonly act: 'next-page' }
  | { readonly act: 'next-date' }
  | { readonly act: 'move-later' }
  | { readonly act: 'stop' }
  | { readonly act: 'start' }
  | { readonly act: 'set-language'; readonly language: string }
  | { readonly act: 'answer-yes' }
  | { readonly act: 'answer-no' }
  /** A vaccine code, the English keyword of an act, or a topic such as VIAL, in capitals. */
  | { readonly act: 'help'; readonly topic: string | null }

/** The kind of an act. */
export type ActName = SingleAct['act']

/** What a text means; `several` has at least two acts, in the order written. */
export type Act = SingleAct | { readonly act: 'several'; readonly acts: readonly SingleAct[] }

/** Which senders may do what. */
export const SENDERS: Readonly<Record<ActName, readonly Sender[]>> = {
  'record-doses': ['vaccinator'],
  enrol: ['vaccinator'],
  'due-list': ['vaccinator'],
  'card-status': ['vaccinator'],
  'open-vial': ['vaccinator'],
  'discard-vial': ['vaccinator'],
  'report-reaction': ['vaccinator'],
  undo: ['vaccinator'],
  'record-visit': ['vaccinator'],
  'record-not-given': ['vaccinator'],
  'record-temperature': ['vaccinator'],
  'record-stock': ['vaccinator'],
  'flag-double': ['vaccinator', 'manager'],
  'rename-child': ['vaccinator'],
  coverage: ['manager'],
  'missed-list': ['manager'],
  acknowledge: ['manager'],
  'set-pin': ['vaccinator', 'manager'],
  'next-page': ['vaccinator', 'manager'],
  'next-date': ['parent'],
  'move-later': ['parent'],
  stop: ['vaccinator', 'manager', 'parent'],
  start: ['vaccinator', 'manager', 'parent'],
  'set-language': ['vaccinator', 'manager', 'parent'],
  'answer-yes': ['vaccinator', 'manager', 'parent'],
  'answer-no': ['vaccinator', 'manager', 'parent'],
  help: ['vaccinator', 'manager', 'parent'],
}

/** Why a text could not be taken; each has a phrase `error-<code>`. */
export type ProblemCode =
  | 'card-missing'
  | 'card-length'
  | 'card-check-digit'
  | 'card-unclear'
  | 'vaccine-missing'
  | 'vaccine-unknown'
  | 'vaccine-unclear'
  | 'date-missing'
  | 'date-future'
  | 'date-impossible'
  | 'date-unclear'
  | 'birth-date-missing'
  | 'sex-missing'
  | 'village-missing'
  | 'village-unknown'
  | 'phone-missing'
  | 'phone-impossible'
  | 'name-missing'
  | 'lot-missing'
  | 'expiry-missing'
  | 'expiry-impossible'
  | 'vial-missing'
  | 'words-missing'
  | 'outcome-missing'
  | 'reason-missing'
  | 'temperature-missing'
  | 'temperature-impossible'
  | 'count-missing'
  | 'keyword-unclear'
  | 'role-not-allowed'
  | 'not-understood'
  | 'empty'

/** What was recognised in a text that could not be taken; fields as in the acts. */
export interface Understood {
  readonly act?: ActName
  readonly card?: string
  readonly vaccines?: readonly string[]
  readonly date?: Day
  readonly village?: string
  readonly birthDate?: Day
  readonly sex?: Sex
  readonly phone?: string
  readonly name?: string
  readonly lot?: string
  readonly expiry?: Day
  readonly vial?: string
  readonly outcome?: VisitOutcome
  readonly reason?: Reason
  readonly words?: string
  /** The acts of the other lines, none of which is to be done. */
  readonly acts?: readonly SingleAct[]
}

/** A text that is not to be acted on, with what its sender needs to send it right. */
export interface ReadProblem {
  readonly code: ProblemCode
  /** The part of the text that was wrong, as typed; `null` when something is missing. */
  readonly word: string | null
  readonly understood: Understood
  /** Up to two texts, ready to send, each of one meaning. */
  readonly choices: readonly string[]
}

/** Whether a text could not be taken. */
export function isReadProblem(reading: Act | ReadProblem): reading is ReadProblem {
  return 'code' in reading
}
