import { Refusal } from '../core/refusals.ts'
import { getChild } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { isAgainstRule, putDoseReason } from '../store/dose-reasons.ts'
import { getDose } from '../store/doses.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export interface GivenReason {
  readonly doseId: string
  /** Why it was given although a rule of the schedule speaks against it. */
  readonly reason: string
  readonly by: string
}

/**
 * Keeps why a dose was given against the advice; a later reason takes the place of the earlier.
 * @throws {Refusal} dose-not-found, dose-already-voided, dose-counts
 */
export async function giveDoseReason(tx: Transaction, deps: Deps, given: GivenReason): Promise<void> {
  const { doseId, reason, by } = given
  const dose = await getDose(tx, doseId)
  if (dose.voidedAt !== null)
    throw new Refusal('dose-already-voided', 'This dose was withdrawn; it needs no reason.')
  if (!(await isAgainstRule(tx, doseId)))
    throw new Refusal('dose-counts', 'No rule speaks against this dose; it needs no reason.')
  await putDoseReason(tx, { doseId, reason, notedBy: by, notedAt: deps.clock.now() })
  await noteChange(tx, deps, {
    districtId: (await getChild(tx, dose.childId)).districtId,
    actor: by,
    act: 'give-dose-reason',
    subject: { kind: 'child', id: dose.childId },
  })
}
