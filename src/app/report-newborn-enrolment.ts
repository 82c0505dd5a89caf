import { ALL_VILLAGES } from '../core/coverage/coverage-rows.ts'
import { promptness } from '../core/coverage/promptness.ts'
import type { Promptness } from '../core/coverage/promptness.ts'
import type { Period } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { listEnrolmentDelays } from '../store/entry-figures.ts'
import type { Shelf } from './shelf.ts'

/** How soon after birth the children of a village, or of the whole district, came on the register. */
export interface NewbornEnrolment extends Promptness {
  readonly village: string
}

/** Of the children born in a period: by village in code point order, then the district as a whole. */
export async function reportNewbornEnrolment(
  db: Db,
  shelf: Pick<Shelf, 'indicators'>,
  { districtId, born }: { readonly districtId: string; readonly born: Period },
): Promise<readonly NewbornEnrolment[]> {
  const delays = await listEnrolmentDelays(db, districtId, born)
  const villages = [...new Set(delays.map(({ village }) => village))].sort()
  return [...villages, ALL_VILLAGES].map((village) => {
    const own = delays.filter((delay) => village === ALL_VILLAGES || delay.village === village)
    return {
      village,
      ...promptness(
        own.map(({ days }) => days),
        shelf.indicators.enrolWithinDays,
      ),
    }
  })
}
