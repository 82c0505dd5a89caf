import { addDays } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { startOfDay } from '../core/days/day-bounds.ts'
import { dayAt, instantOf } from '../core/days/zoned-time.ts'
import type { Appointment, Child, District, PhoneLine } from '../core/model.ts'
import { sendingHours, sendingMoment } from '../core/reminders/sending-hours.ts'
import type { Transaction } from '../store/database.ts'
import { insertReminders, linesToldOf, withdrawUntil } from '../store/reminders.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { reachableLines } from './plan-reminders-for.ts'
import { policyOf } from './shelf.ts'

/** A visit that a family may have been told of. */
export interface ToldVisit {
  readonly child: Child
  readonly district: District
  /** As it was. */
  readonly planned: Appointment
}

/**
 * A family that was told of a day hears at once when the visit moves to another, unless it asked for that itself.
 * Reminders of the new day that would leave on the same day are left out.
 */
export async function tellOfMove(
  tx: Transaction,
  deps: Deps,
  visit: ToldVisit & { /** As it is now. */ readonly appointment: Appointment },
): Promise<void> {
  const { district, planned, appointment } = visit
  const isOwnWish = planned.notBeforeOn !== null && planned.notBeforeOn > planned.sessionOn
  if (isOwnWish) return
  const telling = await tellable(tx, deps, visit, appointment.sessionOn)
  if (telling === null) return

  const { timeZone } = district
  const nextDay = startOfDay(addDays(dayAt(telling.sendAt, timeZone), 1), timeZone)
  await withdrawUntil(tx, appointment.id, nextDay, { reason: 'same-day', at: deps.clock.now() })
  await tell(tx, deps, visit, { ...telling, kind: 'moved', about: appointment })
}

/** A family that was told of a day hears at once when there is no visit on it and no other day yet. */
export async function tellThatCalledOff(tx: Transaction, deps: Deps, visit: ToldVisit): Promise<void> {
  const telling = await tellable(tx, deps, visit, visit.planned.sessionOn)
  if (telling !== null) await tell(tx, deps, visit, { ...telling, kind: 'called-off', about: visit.planned })
}

interface Telling {
  readonly lines: readonly PhoneLine[]
  readonly sendAt: Date
  readonly usefulUntil: Date
}

/** By noon of the day whoever did not hear of it has come or not. */
const NOON = 12 * 60

/** Who can still be told in time of a day; null when nobody was told of the visit, or none can. */
async function tellable(
  tx: Transaction,
  deps: Deps,
  { child, district, planned }: ToldVisit,
  day: Day,
): Promise<Telling | null> {
  const { timeZone, reminderPolicy } = district
  if (planned.sessionOn < todayIn(deps, district)) return null
  const usefulUntil = instantOf({ day, minute: NOON }, timeZone)
  const hours = sendingHours(policyOf(deps.shelf, reminderPolicy), timeZone)
  const sendAt = sendingMoment(deps.clock.now(), usefulUntil, hours)
  if (sendAt === undefined) return null
  const told = await linesToldOf(tx, planned.id)
  const lines = (await reachableLines(tx, child.id)).filter((line) => told.has(line.id))
  return lines.length === 0 ? null : { lines, sendAt, usefulUntil }
}

async function tell(
  tx: Transaction,
  deps: Deps,
  { child, district }: ToldVisit,
  telling: Telling & { readonly kind: 'moved' | 'called-off'; readonly about: Appointment },
): Promise<void> {
  const { lines, sendAt, usefulUntil, kind, about } = telling
  await insertReminders(
    tx,
    lines.map((line) => ({
      id: deps.newId(),
      districtId: district.id,
      childId: child.id,
      lineId: line.id,
      appointmentId: about.id,
      kind,
      aboutOn: about.sessionOn,
      sendAt,
      usefulUntil,
      createdAt: deps.clock.now(),
    })),
  )
}
