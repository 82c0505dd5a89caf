import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'

const cautionsSchema = z.strictObject({
  source: z.string(),
  note: z.string(),
  everyVaccine: z.array(z.string()),
  byVaccine: z.record(z.string(), z.array(z.string())),
  /** False reasons, for which children are too often sent home. */
  noReasonToWait: z.array(z.string()),
})

/** src/data/reactions/cautions.json: codes of what to ask before a vaccine. */
export type Cautions = z.infer<typeof cautionsSchema>

export function parseCautions(data: unknown): Checked<Cautions> {
  return checkData(cautionsSchema, data)
}

/** What to ask before a vaccine is given; a yes goes to the supervisor, nothing is decided here. */
export function cautionsFor(vaccine: string, cautions: Cautions): readonly string[] {
  return [...cautions.everyVaccine, ...(cautions.byVaccine[vaccine] ?? [])]
}
