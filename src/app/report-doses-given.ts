import type { Period } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { countDosesGiven } from '../store/entry-figures.ts'
import type { Breakdown, DosePart } from '../store/entry-figures.ts'

export { BREAKDOWNS } from '../store/entry-figures.ts'
export type { Breakdown, DosePart } from '../store/entry-figures.ts'

/** Doses given in a period by their parts; the parts of every breakdown add up to the same total. */
export interface DosesGiven {
  readonly parts: readonly DosePart[]
  readonly total: number
}

export async function reportDosesGiven(
  db: Db,
  districtId: string,
  asked: Period & { readonly by: Breakdown },
): Promise<DosesGiven> {
  const parts = await countDosesGiven(db, districtId, asked)
  return { parts, total: parts.reduce((sum, { doses }) => sum + doses, 0) }
}
