import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { holdsPhrase, phraseWordsSchema, readClauses } from '../reading/find-phrases.ts'

/**
 * Why a vial was thrown away. The first five are those of closed vials (WHO immunization data dictionary, I.DE48
 * to 53); an opened vial may go for any of them.
 */
export const DISCARD_REASONS = [
  'broken',
  'expired',
  'cold-failure',
  'monitor',
  'frozen',
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
