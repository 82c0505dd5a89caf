import type { Day } from '../core/days/day.ts'
import type { Child } from '../core/model.ts'
import type { Reason } from '../core/reading/act.ts'
import type { Transaction } from '../store/database.ts'
import { closeAppointment, findPlannedAppointment } from '../store/appointments.ts'
import { insertDosesNotGiven, withdrawDosesNotGiven } from '../store/follow-up.ts'
import { withdrawByAppointment } from '../store/reminders.ts'
import type { Deps } from './deps.ts'
import { refreshPlan } from './refresh-plan.ts'

export interface NotGiven {
  readonly child: Child
  /** Empty: all that was due. */
  readonly vaccines: readonly string[]
  readonly reason: Reason
  readonly on: Day
  readonly by: string
  readonly textInId: string | null
}

/**
 * Keeps that doses were due and not given, and why; what was refused is no longer planned, the rest goes on. Answers
 * the records it made.
 */
export async function noteNotGiven(tx: Transaction, deps: Deps, notGiven: NotGiven): Promise<string[]> {
  const { child, vaccines, reason, on, by, textInId } = notGiven
  const named = vaccines.length === 0 ? [null] : vaccines
  const records = named.map((vaccine) => ({
    id: deps.newId(),
    districtId: child.districtId,
    childId: child.id,
    vaccine,
    reason,
    notedOn: on,
    notedBy: by,
    textInId,
    createdAt: deps.clock.now(),
  }))
  await insertDosesNotGiven(tx, records)
  await closeVisitOf(tx, deps, notGiven)
  await refreshPlan(tx, deps, child.id)
  return records.map(({ id }) => id)
}

/** Takes such records back: what they silenced is planned again. */
export async function withdrawNotGiven(tx: Transaction, deps: Deps, ids: readonly string[]): Promise<void> {
  const children = await withdrawDosesNotGiven(tx, ids, deps.clock.now())
  for (const childId of children) await refreshPlan(tx, deps, childId)
}

/** Whoever came on the day, or was visited, is not called missing: the visit ends with the reason instead. */
async function closeVisitOf(tx: Transaction, deps: Deps, { child, reason, on }: NotGiven): Promise<void> {
  const planned = await findPlannedAppointment(tx, child.id)
  if (planned?.sessionOn !== on) return
  const at = deps.clock.now()
  await closeAppointment(tx, planned.id, { status: 'cancelled', reason: `not-given-${reason}`, at })
  await withdrawByAppointment(tx, planned.id, { reason: 'not-given', at })
}
