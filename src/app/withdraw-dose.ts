import { Refusal } from '../core/refusals.ts'
import type { Transaction } from '../store/database.ts'
import { getDose, voidDose } from '../store/doses.ts'
import type { Deps } from './deps.ts'
import { refreshPlan } from './refresh-plan.ts'
import type { Plan } from './refresh-plan.ts'

export interface Withdrawal {
  readonly doseId: string
  readonly by: string
  readonly reason: string
}

/**
 * Withdraws a dose: the record stays readable with who, when and why, and the child is planned without it.
 * @throws {Refusal} dose-not-found, dose-already-voided
 */
export async function withdrawDose(tx: Transaction, deps: Deps, withdrawal: Withdrawal): Promise<Plan> {
  const { doseId, by, reason } = withdrawal
  const dose = await getDose(tx, doseId)
  const isVoided = await voidDose(tx, doseId, { at: deps.clock.now(), by, reason })
  if (!isVoided)
    throw new Refusal('dose-already-voided', 'This dose was withdrawn before; nothing was changed.')
  return refreshPlan(tx, deps, dose.childId)
}
