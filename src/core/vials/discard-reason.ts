import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { holdsPhrase, phraseWordsSchema, readClauses } from '../reading/find-phrases.ts'

/** Why a closed vial was thrown away (WHO immunization data dictionary, I.DE48 to 53). */
export const CLOSED_DISCARD_REASONS = ['broken', 'expired', 'cold-failure', 'monitor', 'frozen'] as const

export type ClosedDiscardReason = (typeof CLOSED_DISCARD_REASONS)[number]

/** Why a vial was thrown away; an opened one may go for any of these. */
export const DISCARD_REASONS = [
  ...CLOSED_DISCARD_REASONS,
  'contaminated',
  'time-up',
  'session-end',
  'used-up',
] as const

export type DiscardReason = (typeof DISCARD_REASONS)[number]

const discardWordsSchema = z.strictObject({
  note: z.string(),
  reasons: z.array(z.strictObject({ reason: z.enum(DISCARD_REASONS), words: phraseWordsSchema })),
})

/** src/data/products/discard-words.json: in which words a post gives a reason. */
export type DiscardWords = z.infer<typeof discardWordsSchema>

export function parseDiscardWords(data: unknown): Checked<DiscardWords> {
  return checkData(discardWordsSchema, data)
}

/** The reason that words give, in whatever language; `undefined` when none is recognised and one has to be asked. */
export function readDiscardReason(words: string, known: DiscardWords): DiscardReason | undefined {
  const clauses = readClauses(words)
  return known.reasons.find((each) => each.words.some((phrase) => holdsPhrase(clauses, phrase)))?.reason
}

/** The reason that words give for closed vials; `undefined` also for one that only an opened vial can have. */
export function readClosedDiscardReason(words: string, known: DiscardWords): ClosedDiscardReason | undefined {
  const reason = readDiscardReason(words, known)
  return CLOSED_DISCARD_REASONS.find((each) => each === reason)
}
