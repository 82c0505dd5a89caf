import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'

const share = z.number().min(0).max(1)

/** What a simulated district is like; src/data/simulation/assumptions.json says where each figure comes from. */
const assumptionsSchema = z.strictObject({
  source: z.string().min(1),
  /** How many times as likely a reminded family is to come, by the name of the finding. */
  effects: z.record(z.string(), z.strictObject({ ratio: z.number().min(0.5).max(5), source: z.string() })),
  /** The finding that holds. */
  effect: z.string(),
  /** RFC 5545 rules; villages follow them in turn. */
  sessions: z.array(z.string()).min(1),
  enrolledWithinDays: z.int().min(0).max(60),
  phoneShare: share,
  /** Families who come to no session, texts or not. */
  neverComeShare: share,
  /** The chance that any other family comes to a visit without having had a text. */
  comes: share,
  /** That chance is multiplied by this for each visit missed in a row. */
  comesAfterMiss: share,
  leavesPerYear: share,
  movesVillagePerYear: share,
  /** Texts to families that never arrive. */
  textLost: share,
  /** Reports of vaccinators that never arrive. */
  reportLost: share,
  /** Reports with a slip of the thumb. */
  reportMistyped: share,
  /** A report without a reply, or one that was not understood, is sent again with this chance. */
  reportSentAgain: share,
})

export type Assumptions = z.infer<typeof assumptionsSchema>

/** Reads an assumptions file; the effect it names has to be one it describes. */
export function parseAssumptions(data: unknown): Checked<Assumptions> {
  return checkData(
    assumptionsSchema.refine(({ effect, effects }) => effect in effects, {
      path: ['effect'],
      error: 'is not described under effects',
    }),
    data,
  )
}

/** The ratio of the effect that holds. */
export function effectOf({ effects, effect }: Assumptions): number {
  return effects[effect]?.ratio ?? 1
}
