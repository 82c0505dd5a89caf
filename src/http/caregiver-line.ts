import { z } from 'zod'
import type { NewCaregiverLine } from '../app/enrol-child.ts'
import { PHONE_KINDS } from '../app/family.ts'
import type { Shelf } from '../app/shelf.ts'
import type { District } from '../core/model.ts'
import { parsePhoneNumber } from '../core/phone-number.ts'
import { Refusal } from '../core/refusals.ts'
import { REMINDER_PREFERENCES } from '../core/reminders/preference.ts'
import type { ReminderPreference } from '../core/reminders/preference.ts'

/** A caregiver's phone as it is told to the API. */
export const caregiver = z.object({
  phone: z.string().max(40),
  language: z.string().max(20).optional().describe("The district's first language where left out."),
  relation: z.string().max(40).optional(),
  phoneKind: z.enum(PHONE_KINDS).optional().describe('Whose phone it is.'),
  consent: z.enum(['given', 'asked']).default('given'),
  consentSource: z.string().min(1).max(80).default('told-health-worker'),
  reminders: z
    // The keys of a literal object are exactly its type's keys.
    .enum(Object.keys(REMINDER_PREFERENCES) as [ReminderPreference, ...ReminderPreference[]])
    .optional()
    .describe(
      'Which texts the family wants; see docs/reminders.md. Left out: as before, at first every kind.',
    ),
})

/** @throws {Refusal} phone-impossible, language-not-found */
export function lineOf(
  given: z.output<typeof caregiver>,
  district: District,
  shelf: Shelf,
): NewCaregiverLine {
  const parsed = parsePhoneNumber(given.phone, district.region)
  if (parsed.kind === 'impossible') {
    throw new Refusal(
      'phone-impossible',
      `${given.phone} cannot be a phone number in ${district.name}; check the digits.`,
    )
  }
  const language = given.language ?? district.languages[0] ?? 'en'
  if (!shelf.books.has(language)) {
    const known = [...shelf.books.keys()].join(', ')
    throw new Refusal('language-not-found', `There is no phrase book in ${language}; there are ${known}.`)
  }
  return {
    number: parsed.number,
    language,
    relation: given.relation ?? null,
    phoneKind: given.phoneKind ?? null,
    consent: given.consent,
    consentSource: given.consentSource,
    preference: given.reminders,
  }
}
