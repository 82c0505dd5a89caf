import { findPlannedAppointment } from '../store/appointments.ts'
import { childrenOfLine } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { forgetWithdrawn } from '../store/reminders.ts'
import { isFollowed } from './child-facts.ts'
import type { Deps } from './deps.ts'
import { planVisitReminders } from './plan-reminders-for.ts'

/** Plans the texts about visits that stand, for a line that may be written to again. */
export async function remindAgain(tx: Transaction, deps: Deps, lineId: string): Promise<void> {
  for (const child of (await childrenOfLine(tx, lineId)).filter(isFollowed)) {
    const appointment = await findPlannedAppointment(tx, child.id)
    if (appointment === undefined) continue
    await forgetWithdrawn(tx, appointment.id, lineId)
    const district = await getDistrict(tx, child.districtId)
    await planVisitReminders(tx, deps, { child, district, appointment })
  }
}
