import { doseFlows } from '../core/coverage/flows.ts'
import type { DoseFlows } from '../core/coverage/flows.ts'
import { countDosePlaces } from '../store/coverage.ts'
import type { Period } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'

/** Doses that crossed the lines between villages and posts of a district, in a period or (`null`) at any time. */
export async function reportFlows(db: Db, districtId: string, period: Period | null): Promise<DoseFlows> {
  return doseFlows(await countDosePlaces(db, districtId, period))
}
