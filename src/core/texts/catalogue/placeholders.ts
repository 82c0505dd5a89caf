/** What a phrase may leave open, with the type of its value; texts come ready to read. */
export interface PlaceholderValues {
  /** The child as the district's policy lets it be called: first name or initials. */
  readonly child: string
  /** How many children, or list rows. */
  readonly count: number
  /** The health post that speaks. */
  readonly post: string
  /** Where the session is. */
  readonly place: string
  readonly village: string
  /** A session's day in words (`sayDay`), with hours where they are known. */
  readonly day: string
  /** A day in words, of a dose or of the next visit. */
  readonly on: string
  readonly next: string
  /** A birth date in words, with the year. */
  readonly birth: string
  /** Until when a vial may be used: day and time in words. */
  readonly until: string
  /** A card number in two groups. */
  readonly card: string
  /** Card numbers, with commas between. */
  readonly cards: string
  /** Doses as counted: "OPV 2, PENTA 2". */
  readonly doses: string
  readonly dose: string
  /** A dose as it was typed. */
  readonly typed: string
  /** A `reason-…` phrase. */
  readonly reason: string
  readonly vaccine: string
  readonly vial: string
  /** What someone reported, in their words. */
  readonly words: string
  /** What was noted, taken back or is to be carried: "OPV 2, PENTA 2", "3 BOPV, 2 FIPV". */
  readonly what: string
  /** What a figure is about: "born 2025". */
  readonly period: string
  readonly percent: string
  readonly reached: number
  readonly target: number
  /** Texts ready to send. */
  readonly first: string
  readonly second: string
  /** Six digits, to be typed in. */
  readonly code: string
  /** Number of an alert, to be typed back. */
  readonly reference: string
  /** Degrees Celsius. */
  readonly degrees: string
  /** The part of a text that could not be taken. */
  readonly word: string
  /** The parts of a text that were understood. */
  readonly understood: string
}

/** Words people send, which a phrase names in its own language; the phrase book knows them. */
export const WORDS = [
  'gaveWord',
  'allWord',
  'newWord',
  'dueWord',
  'cardWord',
  'openedWord',
  'discardWord',
  'reactionWord',
  'undoWord',
  'visitWord',
  'notGivenWord',
  'temperatureWord',
  'stockWord',
  'takenOutWord',
  'broughtBackWord',
  'doubleWord',
  'nameWord',
  'coverWord',
  'missedWord',
  'seenWord',
  'pinWord',
  'moreWord',
  'yesWord',
  'whenWord',
  'laterWord',
  'stopWord',
  'startWord',
  'helpWord',
  'vialTopic',
  'coldTopic',
  'afterTopic',
  'reactionTopic',
] as const

export type Word = (typeof WORDS)[number]
export type Placeholder = keyof PlaceholderValues | Word

export type PhraseKind =
  | 'reminder'
  | 'consent'
  | 'aftercare'
  | 'reply'
  | 'notice'
  | 'reason'
  | 'error'
  | 'help'
  | 'job-aid'
  | 'screen'

/** What a phrase is for, what it must contain, and how long it may get. */
export interface PhraseSpec {
  readonly kind: PhraseKind
  /** Each stands in the text of every language. */
  readonly takes: readonly Placeholder[]
  /** Most parts in a GSM-7 language; twice as many in a UCS-2 one. */
  readonly parts: number
  /** Most septets, or half as many units of UCS-2, of what must leave room for other words. */
  readonly septets?: number
}
