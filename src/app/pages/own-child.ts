import type { District } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { getDose } from '../../store/doses.ts'
import { districtOfChild } from '../views.ts'
import type { DistrictScope } from './district-scope.ts'

type OwnDistrict = Pick<District, 'id' | 'name'>

/** @throws {Refusal} child-not-found, also for a child of another district */
export async function proveOwnChild(db: Db, { id, name }: OwnDistrict, childId: string): Promise<void> {
  if ((await districtOfChild(db, childId)) !== id)
    throw new Refusal('child-not-found', `${name} has no such child.`)
}

/** Changes a child of the visitor's district, whole or not at all. @throws {Refusal} child-not-found */
export async function changeOwnChild(
  { deps, district }: DistrictScope,
  childId: string,
  work: (tx: Transaction) => Promise<unknown>,
): Promise<void> {
  await deps.database.transaction(async (tx) => {
    await proveOwnChild(tx, district, childId)
    await work(tx)
  })
}

/** The child whose dose it is. @throws {Refusal} dose-not-found, child-not-found, also for one of another district */
export async function ownerOfDose(db: Db, district: OwnDistrict, doseId: string): Promise<string> {
  const { childId } = await getDose(db, doseId)
  await proveOwnChild(db, district, childId)
  return childId
}
