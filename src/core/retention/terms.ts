import { z } from 'zod'

/** A hundred years. */
const LONGEST = 36_525

/** Days until it goes; null: it stays for ever. What is still worked with must not go, so each kind has a least. */
const term = (least: number) => z.int().min(least).max(LONGEST).nullable()

/** What a district may set, as its law says. */
export const districtTermsSchema = z.strictObject({
  textsIn: term(90).describe('The words and the number of a text that came in, since it came.'),
  reminders: term(60).describe('The words and the number of a sent reminder, since it was written.'),
  replies: term(60).describe('The same of replies, lists and alerts.'),
  webhookCalls: term(7).describe('Calls that were delivered to other systems, since then.'),
  closedChildren: term(365).describe(
    'Who a child was that is no longer followed, since it was closed; what is counted of it stays.',
  ),
  // Doses of the last schedules are given well before ten years of age.
  grownChildren: term(3653).describe('Who a child was, since its birth; what is counted of it stays.'),
})

/** What belongs to no district. */
const serviceTermsSchema = z.strictObject({
  signIns: term(1).describe('Codes, links and page sessions that are over.'),
  keptAnswers: term(1).describe('Answers kept for a caller who asks twice, since they were given.'),
  runs: term(7).describe('Traces of work on many records, since it began.'),
})

/** The shape of src/data/retention/terms.json. */
export const retentionSchema = z.strictObject({
  source: z.string(),
  district: districtTermsSchema,
  service: serviceTermsSchema,
})

export type DistrictTerms = z.infer<typeof districtTermsSchema>
export type Retention = z.infer<typeof retentionSchema>
export type RetentionKind = keyof DistrictTerms | keyof Retention['service']
