import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'

const adviceSchema = z.enum(['discard', 'ask-supervisor', 'check-monitor'])

const excursionRuleSchema = z
  .strictObject({
    code: z.enum(['frost', 'too-cold', 'too-warm']),
    /** One of the three bounds, in °C. */
    atMostC: z.number().optional(),
    belowC: z.number().optional(),
    aboveC: z.number().optional(),
    of: z.enum(['freeze-sensitive', 'every-vaccine']),
    advice: adviceSchema,
    /** Where shaking can tell and the national policy lets staff do it. */
    adviceWithShakeTest: adviceSchema.optional(),
    /** How long a logger must say so before it counts; a reading by hand counts at once. */
    loggerMinutes: z.int().nonnegative(),
  })
  .refine(
    ({ atMostC, belowC, aboveC }) =>
      [atMostC, belowC, aboveC].filter((bound) => bound !== undefined).length === 1,
    'needs exactly one of atMostC, belowC, aboveC',
  )

const rulesSchema = z.strictObject({
  source: z.string(),
  note: z.string(),
  safe: z.strictObject({ fromC: z.number(), toC: z.number() }),
  /** In order of gravity: the first that fits a temperature holds. */
  excursions: z.array(excursionRuleSchema),
  /** Parts of the day, in minutes since 00:00 local time, in each of which a reading is expected. */
  readings: z.array(
    z.strictObject({ code: z.string(), fromMinute: z.int().min(0), toMinute: z.int().max(1440) }),
  ),
})

/** src/data/cold-chain/rules.json. */
export type ColdChainRules = z.infer<typeof rulesSchema>

export type ExcursionRule = z.infer<typeof excursionRuleSchema>

export type ExcursionCode = ExcursionRule['code']

export function parseColdChainRules(data: unknown): Checked<ColdChainRules> {
  return checkData(rulesSchema, data)
}

/** The rule that a temperature breaks, whatever is stored; `undefined` between the bounds. */
export function brokenRule(celsius: number, rules: ColdChainRules): ExcursionRule | undefined {
  return rules.excursions.find(
    ({ atMostC = -Infinity, belowC = -Infinity, aboveC = Infinity }) =>
      celsius <= atMostC || celsius < belowC || celsius > aboveC,
  )
}
