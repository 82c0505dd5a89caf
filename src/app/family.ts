/** The people who look after a child, their phones and where they live: several at once, and those of before. */
import { Refusal } from '../core/refusals.ts'
import { getChild } from '../store/children.ts'
import type { Db, Transaction } from '../store/database.ts'
import {
  addressesOfFamily,
  endAddress as endAddressRow,
  endCaregiver as endCaregiverRow,
  insertAddress,
  phonesOfFamily,
} from '../store/families.ts'
import type { FamilyAddress, FamilyPhone } from '../store/families.ts'
import { openRecallsOf, withdrawReminders } from '../store/reminders.ts'
import { lockStanding, passOn } from './change-child.ts'
import type { Deps } from './deps.ts'
import { joinCaregiver } from './enrol-child.ts'
import type { NewCaregiverLine } from './enrol-child.ts'
import { noteChange } from './note-change.ts'
import { refreshPlan } from './refresh-plan.ts'
import { remindAnew } from './remind-again.ts'

export { PHONE_KINDS } from '../store/families.ts'
export type { FamilyAddress, FamilyPhone } from '../store/families.ts'

export interface Family {
  readonly phones: readonly FamilyPhone[]
  readonly addresses: readonly FamilyAddress[]
}

/** @throws {Refusal} child-not-found */
export async function viewFamily(db: Db, childId: string): Promise<Family> {
  await getChild(db, childId)
  return { phones: await phonesOfFamily(db, childId), addresses: await addressesOfFamily(db, childId) }
}

interface Whose {
  readonly childId: string
  readonly by: string
}

/** Adds a phone beside those the family has; what is planned for the child goes to it as well. */
export async function addCaregiver(
  tx: Transaction,
  deps: Deps,
  { childId, by, caregiver }: Whose & { readonly caregiver: NewCaregiverLine },
): Promise<Family> {
  const child = await lockStanding(tx, childId)
  const recalls = await openRecallsOf(tx, childId)
  await joinCaregiver(tx, deps, child, caregiver)
  await note(tx, deps, { districtId: child.districtId, childId, by }, 'add-caregiver')
  await remindAnew(tx, deps, await refreshPlan(tx, deps, childId))
  await passOn(tx, deps, childId, recalls)
  return viewFamily(tx, childId)
}

/** This phone gets nothing more about the child; the others go on, and that it once did stays on record. */
export async function endCaregiver(
  tx: Transaction,
  deps: Deps,
  { childId, by, caregiverId }: Whose & { readonly caregiverId: string },
): Promise<Family> {
  const child = await lockStanding(tx, childId)
  const at = deps.clock.now()
  const lineId = await endCaregiverRow(tx, { childId, id: caregiverId }, at)
  if (lineId === undefined)
    throw new Refusal('caregiver-not-found', 'The child has no such caregiver now; look at its family again.')
  await withdrawReminders(tx, { childId, lineId }, { reason: 'line-changed', at })
  await note(tx, deps, { districtId: child.districtId, childId, by }, 'end-caregiver')
  return viewFamily(tx, childId)
}

export async function addAddress(
  tx: Transaction,
  deps: Deps,
  { childId, by, address }: Whose & { readonly address: string },
): Promise<Family> {
  const child = await lockStanding(tx, childId)
  await insertAddress(tx, { id: deps.newId(), childId, address, since: deps.clock.now() })
  await note(tx, deps, { districtId: child.districtId, childId, by }, 'add-address')
  return viewFamily(tx, childId)
}

/** The family no longer lives there. */
export async function endAddress(
  tx: Transaction,
  deps: Deps,
  { childId, by, addressId }: Whose & { readonly addressId: string },
): Promise<Family> {
  const child = await lockStanding(tx, childId)
  if (!(await endAddressRow(tx, { childId, id: addressId }, deps.clock.now())))
    throw new Refusal('address-not-found', 'The child has no such address now; look at its family again.')
  await note(tx, deps, { districtId: child.districtId, childId, by }, 'end-address')
  return viewFamily(tx, childId)
}

function note(
  tx: Transaction,
  deps: Deps,
  { districtId, childId, by }: Whose & { readonly districtId: string },
  act: string,
): Promise<void> {
  return noteChange(tx, deps, { districtId, actor: by, act, subject: { kind: 'child', id: childId } })
}
