import { addDays } from '../core/days/day.ts'
import { startOfDay } from '../core/days/day-bounds.ts'
import { dayAt, instantOf } from '../core/days/zoned-time.ts'
import type { Appointment, Child, District } from '../core/model.ts'
import { sendingHours, sendingMoment } from '../core/reminders/sending-hours.ts'
import type { Transaction } from '../store/database.ts'
import { insertReminders, linesToldOf, withdrawUntil } from '../store/reminders.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { reachableLines } from './plan-reminders-for.ts'
import { policyOf } from './shelf.ts'

export interface MovedVisit {
  readonly child: Child
  readonly district: District
  /** As it was. */
  readonly planned: Appointment
  /** As it is now. */
  readonly appointment: Appointment
}

/** By noon of the new day whoever did not hear of it has come or not. */
const NOON = 12 * 60

/**
 * A family that was told of a day hears at once when the visit moves to another, unless it asked for that itself.
 * Reminders of the new day that would leave on the same day are left out.
 */
export async function tellOfMove(tx: Transaction, deps: Deps, moved: MovedVisit): Promise<void> {
  const { child, district, planned, appointment } = moved
  const { timeZone, reminderPolicy } = district
  const isOwnWish = planned.notBeforeOn !== null && planned.notBeforeOn > planned.sessionOn
  if (isOwnWish || planned.sessionOn < todayIn(deps, district)) return

  const now = deps.clock.now()
  const usefulUntil = instantOf({ day: appointment.sessionOn, minute: NOON }, timeZone)
  const hours = sendingHours(policyOf(deps.shelf, reminderPolicy), timeZone)
  const sendAt = sendingMoment(now, usefulUntil, hours)
  if (sendAt === undefined) return
  const told = await linesToldOf(tx, planned.id)
  const lines = (await reachableLines(tx, child.id)).filter((line) => told.has(line.id))
  if (lines.length === 0) return

  const nextDay = startOfDay(addDays(dayAt(sendAt, timeZone), 1), timeZone)
  await withdrawUntil(tx, appointment.id, nextDay, { reason: 'same-day', at: now })
  await insertReminders(
    tx,
    lines.map((line) => ({
      id: deps.newId(),
      districtId: district.id,
      childId: child.id,
      lineId: line.id,
      appointmentId: appointment.id,
      kind: 'moved',
      aboutOn: appointment.sessionOn,
      sendAt,
      usefulUntil,
      createdAt: now,
    })),
  )
}
