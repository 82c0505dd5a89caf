import type { Deps } from '../app/deps.ts'
import { listDistricts, listPhones } from '../app/views.ts'
import type { TryOutPhone } from '../http/pages/phone.ts'

const FAMILIES = 40

/** Phones on record that can be tried out: everyone who works here, and some families. */
export async function phonesOfService({ database }: Pick<Deps, 'database'>): Promise<TryOutPhone[]> {
  const districts = await listDistricts(database.db)
  const lists = await Promise.all(districts.map((district) => listPhones(database.db, district.id, FAMILIES)))
  return lists.flat()
}
