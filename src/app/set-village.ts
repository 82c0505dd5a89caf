import { todayIn } from './deps.ts'
import { getDistrict, getVillage, setVillageFacts } from '../store/districts.ts'
import type { VillageChange } from '../store/districts.ts'
import { planAgainInVillage } from '../store/children.ts'
import type { Village } from '../core/model.ts'
import type { Transaction } from '../store/database.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { provenCalendar } from './sessions-of.ts'

export interface VillageSetting {
  readonly villageId: string
  readonly change: VillageChange
  readonly by: string
}

/**
 * Sets what is known of a village. When its session days change, its children are marked to be planned again, which
 * the next sweep does child by child.
 * @throws {Refusal} village-not-found, session-rule-invalid
 */
export async function setVillage(tx: Transaction, deps: Deps, setting: VillageSetting): Promise<Village> {
  const { villageId, change, by } = setting
  const village = await getVillage(tx, villageId)
  if (change.sessions !== undefined) provenCalendar(change.sessions)
  await setVillageFacts(tx, villageId, change)
  if (change.sessions !== undefined) {
    const district = await getDistrict(tx, village.districtId)
    await planAgainInVillage(tx, villageId, todayIn(deps, district))
  }
  await noteChange(tx, deps, {
    districtId: village.districtId,
    actor: by,
    act: 'set-village',
    subject: { kind: 'village', id: villageId },
    before: { population: village.population, sessions: JSON.stringify(village.sessions) },
    after: {
      population: change.population ?? village.population,
      sessions: JSON.stringify(change.sessions ?? null),
    },
  })
  return getVillage(tx, villageId)
}
