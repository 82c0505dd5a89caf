import { z } from 'zod'
import type { Statement } from './statements.ts'
import { statement } from './statements.ts'

const usedInWeek = z.object({
  /** The Monday it begins with. */
  week: z.string(),
  role: z.string(),
  act: z.string(),
  /** How many different ones did it. */
  people: z.number(),
  acts: z.number(),
})
export type UsedInWeek = z.output<typeof usedInWeek>

export const countActsByWeek: Statement<[districtId: string, timeZone: string, since: Date], UsedInWeek> =
  statement('count-acts-by-week', usedInWeek)
