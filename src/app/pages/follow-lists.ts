/** The lists that make work move: whom to find, and where to walk. */
import { listMissedChildren } from '../../store/defaulters.ts'
import type { MissedChild } from '../../store/defaulters.ts'
import type { DistrictScope } from './district-scope.ts'

/** Children who missed their last visit and have not come since, in a village or in all. */
export function listMissed(
  { db, district }: DistrictScope,
  villageId: string | null,
): Promise<readonly MissedChild[]> {
  return listMissedChildren(db, { districtId: district.id, postId: null, villageId })
}
