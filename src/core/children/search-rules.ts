import { z } from 'zod'

/** What a child can be searched by. */
export const SEARCH_FACTS = ['name', 'birth', 'village', 'phone', 'card', 'sex'] as const
export type SearchFact = (typeof SEARCH_FACTS)[number]

const facts = z.array(z.enum(SEARCH_FACTS))

/** The shape of src/data/matching/search.json: what a search must hold and how much of a fact may be missing. */
export const searchRulesSchema = z.strictObject({
  source: z.string(),
  factsNeeded: z.int().min(1).max(SEARCH_FACTS.length),
  factsThatCount: facts.min(1),
  factsRequired: facts,
  /** The least of a birth date that counts as one. */
  birthNeeds: z.enum(['year', 'month', 'day']),
  /** Letters of a name that are not wild cards. */
  nameLettersAtLeast: z.int().min(1).max(20),
  /** The last digits of a phone number. */
  phoneDigitsAtLeast: z.int().min(1).max(15),
  cardDigitsAtLeast: z.int().min(1).max(8),
  nameLikenessFrom: z.number().min(0).max(1),
  /** Birth dates so far outside the one asked for are still shown, further down. */
  birthSlackDays: z.int().min(0).max(366),
  shownAtMost: z.int().min(1).max(100),
  /** A search that more children than this could answer asks for another fact. */
  comparedAtMost: z.int().min(1).max(100_000),
})

export type SearchRules = z.infer<typeof searchRulesSchema>
