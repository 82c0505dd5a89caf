import type { ReminderKind } from './policy.ts'

/** Who gets a text: the family on its phone, or the health worker who will speak to it. */
export type Recipient = 'family' | 'provider'

export interface PreferenceRule {
  /** The code of HL7 table 0215, publicity code. */
  readonly publicity: string
  /** Who hears before a visit; `null` is nobody. */
  readonly reminder: Recipient | null
  /** Who hears after a missed visit; `null` is nobody. */
  readonly recall: Recipient | null
  /** Whether the family may be phoned as well as written to. */
  readonly mayCall: boolean
}

/**
 * What a family may choose, one for each of the twelve immunization codes of HL7 user-defined table 0215 (HL7 2.5.1
 * implementation guide for immunization messaging). Codes 09 and 11 speak of one purpose only; the other then goes
 * to the family, which keeps them apart from 10 and 12.
 */
export const REMINDER_PREFERENCES = {
  none: { publicity: '01', reminder: null, recall: null, mayCall: false },
  any: { publicity: '02', reminder: 'family', recall: 'family', mayCall: true },
  'no-calls': { publicity: '03', reminder: 'family', recall: 'family', mayCall: false },
  'reminder-only': { publicity: '04', reminder: 'family', recall: null, mayCall: true },
  'reminder-only-no-calls': { publicity: '05', reminder: 'family', recall: null, mayCall: false },
  'recall-only': { publicity: '06', reminder: null, recall: 'family', mayCall: true },
  'recall-only-no-calls': { publicity: '07', reminder: null, recall: 'family', mayCall: false },
  'to-provider': { publicity: '08', reminder: 'provider', recall: 'provider', mayCall: false },
  'reminder-to-provider': { publicity: '09', reminder: 'provider', recall: 'family', mayCall: true },
  'reminder-to-provider-only': { publicity: '10', reminder: 'provider', recall: null, mayCall: false },
  'recall-to-provider': { publicity: '11', reminder: 'family', recall: 'provider', mayCall: true },
  'recall-to-provider-only': { publicity: '12', reminder: null, recall: 'provider', mayCall: false },
} as const satisfies Record<string, PreferenceRule>

export type ReminderPreference = keyof typeof REMINDER_PREFERENCES

function preferencesFor(recipient: Recipient | null): readonly ReminderPreference[] {
  return Object.entries(REMINDER_PREFERENCES).flatMap(([name, { reminder }]) =>
    reminder === recipient && isReminderPreference(name) ? [name] : [],
  )
}

/** The preferences under which the family itself hears of a visit to come. */
export const FAMILY_HEARS = preferencesFor('family')

/** Those under which nobody is to be reminded of a visit to come. */
export const NOBODY_HEARS = preferencesFor(null)

export function isReminderPreference(text: string): text is ReminderPreference {
  return Object.hasOwn(REMINDER_PREFERENCES, text)
}

/** True for texts after a missed visit; those before it are reminders (HL7: reminder and recall). */
export function isRecall(kind: ReminderKind): boolean {
  return kind === 'missed-1' || kind === 'missed-2'
}

/** Who gets a text under a preference; advice after a visit goes to every family that takes texts at all. */
export function recipientOf(kind: ReminderKind, preference: ReminderPreference): Recipient | null {
  const { reminder, recall } = REMINDER_PREFERENCES[preference]
  if (kind === 'aftercare') return reminder === 'family' || recall === 'family' ? 'family' : null
  return isRecall(kind) ? recall : reminder
}
