import type { Appointment, Child, District } from '../core/model.ts'
import { findPlannedAppointment } from '../store/appointments.ts'
import { childrenOfLine } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { linesOfChild } from '../store/people.ts'
import { forgetWithdrawn } from '../store/reminders.ts'
import { isFollowed } from './child-facts.ts'
import type { Deps } from './deps.ts'
import { planVisitReminders } from './plan-reminders-for.ts'

/** Plans the texts about visits that stand, for a line that may be written to again. */
export async function remindAgain(tx: Transaction, deps: Deps, lineId: string): Promise<void> {
  for (const child of (await childrenOfLine(tx, lineId)).filter(isFollowed)) {
    const appointment = (await findPlannedAppointment(tx, child.id)) ?? null
    const district = await getDistrict(tx, child.districtId)
    await remindAnew(tx, deps, { child, district, appointment })
  }
}

export interface StandingVisit {
  readonly child: Child
  readonly district: District
  readonly appointment: Appointment | null
}

/** Plans the texts about a visit that stands once more; what was withdrawn comes back, what was sent does not. */
export async function remindAnew(
  tx: Transaction,
  deps: Deps,
  { child, district, appointment }: StandingVisit,
): Promise<void> {
  if (appointment === null) return
  for (const line of await linesOfChild(tx, child.id)) await forgetWithdrawn(tx, appointment.id, line.id)
  await planVisitReminders(tx, deps, { child, district, appointment })
}
