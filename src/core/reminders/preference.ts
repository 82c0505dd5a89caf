import type { ReminderKind } from './policy.ts'

/** To whom texts of one purpose go: nobody, the family (with or without voice calls), or the health worker. */
export type Way = 'none' | 'any' | 'no-calls' | 'provider'

export interface PreferenceRule {
  /** The code of HL7 table 0215, publicity code. */
  readonly publicity: string
  /** Before a visit. */
  readonly reminder: Way
  /** After a missed visit. */
  readonly recall: Way
}

/**
 * What a family may choose, one for each of the twelve immunization codes of HL7 user-defined table 0215 (HL7 2.5.1
 * implementation guide for immunization messaging). Codes 09 and 11 speak of one purpose only; the other then goes
 * the usual way, which keeps them apart from 10 and 12.
 */
export const REMINDER_PREFERENCES = {
  none: { publicity: '01', reminder: 'none', recall: 'none' },
  any: { publicity: '02', reminder: 'any', recall: 'any' },
  'no-calls': { publicity: '03', reminder: 'no-calls', recall: 'no-calls' },
  'reminder-only': { publicity: '04', reminder: 'any', recall: 'none' },
  'reminder-only-no-calls': { publicity: '05', reminder: 'no-calls', recall: 'none' },
  'recall-only': { publicity: '06', reminder: 'none', recall: 'any' },
  'recall-only-no-calls': { publicity: '07', reminder: 'none', recall: 'no-calls' },
  'to-provider': { publicity: '08', reminder: 'provider', recall: 'provider' },
  'reminder-to-provider': { publicity: '09', reminder: 'provider', recall: 'any' },
  'reminder-to-provider-only': { publicity: '10', reminder: 'provider', recall: 'none' },
  'recall-to-provider': { publicity: '11', reminder: 'any', recall: 'provider' },
  'recall-to-provider-only': { publicity: '12', reminder: 'none', recall: 'provider' },
} as const satisfies Record<string, PreferenceRule>

export type ReminderPreference = keyof typeof REMINDER_PREFERENCES

export function isReminderPreference(text: string): text is ReminderPreference {
  return Object.hasOwn(REMINDER_PREFERENCES, text)
}

/** True for texts after a missed visit; those before it are reminders (HL7: reminder and recall). */
export function isRecall(kind: ReminderKind): boolean {
  return kind === 'missed-1' || kind === 'missed-2'
}

/** To whom a text goes under a preference. Advice after a visit goes to every family that takes texts at all. */
export function wayOf(kind: ReminderKind, preference: ReminderPreference): Way {
  const { reminder, recall } = REMINDER_PREFERENCES[preference]
  if (kind === 'aftercare')
    return [reminder, recall].find((way) => way === 'any' || way === 'no-calls') ?? 'none'
  return isRecall(kind) ? recall : reminder
}
