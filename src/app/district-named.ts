import type { District } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import type { Db } from '../store/database.ts'
import { listDistricts } from '../store/districts.ts'

/**
 * The district of this name, or the only one there is where no name is given.
 * @throws {Refusal} district-not-found
 */
export async function districtNamed(db: Db, name: string | undefined): Promise<District> {
  const districts = await listDistricts(db)
  const [first, ...others] = districts
  const found = name === undefined && others.length === 0 ? first : districts.find((one) => one.name === name)
  if (found !== undefined) return found
  const known = districts.map((one) => one.name).join(', ')
  throw new Refusal(
    'district-not-found',
    districts.length === 0 ? NONE : `Name one of the districts: ${known}.`,
  )
}

const NONE = 'There is no district yet; load one with duebell load-district.'
