import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { holdsPhrase, phraseWordsSchema, readClauses } from '../reading/find-phrases.ts'

const spanSchema = z
  .strictObject({ days: z.int().optional(), months: z.int().optional() })
  .transform((span) => ({
    days: span.days ?? 0,
    months: span.months ?? 0,
  }))

const signSchema = z.strictObject({
  code: z.string().regex(/^[a-z-]+$/),
  /** `serious`: someone acts at once; `notable`: a person reads it today; `ordinary`: expected after a vaccine. */
  weight: z.enum(['serious', 'notable', 'ordinary']),
  /** Days and months after a dose within which it is reportable, `null`: any time; `vaccines`: after these only. */
  window: z
    .strictObject({
      from: spanSchema.optional(),
      to: spanSchema,
      vaccines: z.array(z.string()).optional(),
    })
    .nullable(),
  words: phraseWordsSchema,
})

const catalogueSchema = z.strictObject({
  source: z.string(),
  note: z.string(),
  /** What makes a report serious whatever the sign (WHO Global manual on AEFI, 2014, revised 2016). */
  outcomes: z.array(z.string()),
  signs: z.array(signSchema),
})

/** Something a lay person can see, and the words for it. Never a diagnosis. */
export type Sign = z.infer<typeof signSchema>

/** The severity rules: src/data/reactions/signs.json. */
export type SignCatalogue = z.infer<typeof catalogueSchema>

export function parseSignCatalogue(data: unknown): Checked<SignCatalogue> {
  return checkData(catalogueSchema, data)
}

/**
 * The signs that words speak of, in catalogue order, in whatever language. A sign that is denied ("no fits") is
 * found too: a person reads the report, and a missed fit costs more than a needless call.
 */
export function findSigns(catalogue: SignCatalogue, text: string): readonly Sign[] {
  const clauses = readClauses(text)
  return catalogue.signs.filter(({ words }) => words.some((phrase) => holdsPhrase(clauses, phrase)))
}
