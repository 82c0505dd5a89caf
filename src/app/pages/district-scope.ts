import type { Day } from '../../core/days/day.ts'
import type { District, Village } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Db } from '../../store/database.ts'
import { getDistrict, listVillages } from '../../store/districts.ts'
import { todayIn } from '../deps.ts'
import type { Deps } from '../deps.ts'

/** The district a page is about, as it is at one moment. */
export interface DistrictScope {
  readonly deps: Deps
  /** What is read from; it may lag behind what was just written. */
  readonly db: Db
  readonly district: District
  /** In order of name. */
  readonly villages: readonly Village[]
  readonly today: Day
  /** When the page was made: the age of every figure on it. */
  readonly now: Date
}

/**
 * Opens a district for reading, `fresh` where what was written a moment ago must show. Who may enter it is the
 * caller's to ask. @throws {Refusal} district-not-found
 */
export async function openDistrict(
  deps: Deps,
  districtId: string,
  freshness: 'fresh' | 'may-lag' = 'may-lag',
): Promise<DistrictScope> {
  const db = freshness === 'fresh' ? deps.database.db : deps.database.reading
  const district = await getDistrict(db, districtId)
  return {
    deps,
    db,
    district,
    villages: await listVillages(db, districtId),
    today: todayIn(deps, district),
    now: deps.clock.now(),
  }
}

/** A village of the district. @throws {Refusal} village-not-found, also for a village of another district */
export function villageIn({ villages, district }: DistrictScope, villageId: string): Village {
  const village = villages.find(({ id }) => id === villageId)
  if (village !== undefined) return village
  throw new Refusal('village-not-found', `${district.name} has no such village.`)
}

/** A village of the district by its name. @throws {Refusal} village-not-found */
export function villageNamed({ villages, district }: DistrictScope, name: string): Village {
  const village = villages.find((one) => one.name.toLowerCase() === name.toLowerCase())
  if (village !== undefined) return village
  throw new Refusal('village-not-found', `${district.name} has no village ${name}.`)
}
