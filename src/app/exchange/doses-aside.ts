import type { Db } from '../../store/database.ts'
import { listStatementsAside } from '../../store/stated-doses.ts'
import type { DoseStatement } from '../../store/stated-doses.ts'
import { getDistrict } from '../views.ts'

/** As many as a person goes through at once. */
const MOST = 500

/** What other registers said that is no dose on record, longest waiting first. @throws {Refusal} district-not-found */
export async function dosesAside(db: Db, districtId: string): Promise<DoseStatement[]> {
  await getDistrict(db, districtId)
  return listStatementsAside(db, districtId, MOST)
}
