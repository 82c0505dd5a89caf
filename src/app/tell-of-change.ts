import { addDays } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { startOfDay } from '../core/days/day-bounds.ts'
import { dayAt, instantOf } from '../core/days/zoned-time.ts'
import type { Appointment, Child, District, PhoneLine } from '../core/model.ts'
import { sendingHours, sendingMoment } from '../core/reminders/sending-hours.ts'
import type { Transaction } from '../store/database.ts'
import { insertReminders, lastHeardOf, withdrawUntil } from '../store/reminders.ts'
import type { LastHeard, NewReminder } from '../store/reminders.ts'
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
 * A family that was told of a day hears at once when the visit moves to another, unless it asked for that itself. What
 * counts is the day it last heard, however often the visit moved since. Reminders of the new day that would leave on
 * the same day are left out.
 */
export async function tellOfMove(
  tx: Transaction,
  deps: Deps,
  visit: ToldVisit & { /** As it is now. */ readonly appointment: Appointment },
): Promise<void> {
  const { district, planned, appointment } = visit
  const isOwnWish = planned.notBeforeOn !== null && planned.notBeforeOn > planned.sessionOn
  if (isOwnWish) return
  const { sessionOn } = appointment
  const heard = (await whoHeard(tx, deps, visit)).filter(({ last }) => last.aboutOn !== sessionOn)
  const moment = momentFor(deps, district, sessionOn)
  if (heard.length === 0 || moment === null) return

  const { timeZone } = district
  const nextDay = startOfDay(addDays(dayAt(moment.sendAt, timeZone), 1), timeZone)
  const of = { appointmentId: appointment.id, lineIds: heard.map(({ line }) => line.id) }
  await withdrawUntil(tx, of, nextDay, { reason: 'same-day', at: deps.clock.now() })
  const about = { appointmentId: appointment.id, aboutOn: sessionOn }
  await insertReminders(
    tx,
    heard.map(({ line }) => reminderOf(deps, visit, { line, kind: 'moved', about, moment })),
  )
}

/** A family that was told of a day hears at once when there is no visit on it and no other day yet. */
export async function tellThatCalledOff(tx: Transaction, deps: Deps, visit: ToldVisit): Promise<void> {
  const heard = await whoHeard(tx, deps, visit)
  await insertReminders(
    tx,
    heard.flatMap(({ line, last }) => {
      const moment = momentFor(deps, visit.district, last.aboutOn)
      return moment === null
        ? []
        : [reminderOf(deps, visit, { line, kind: 'called-off', about: last, moment })]
    }),
  )
}

interface Heard {
  readonly line: PhoneLine
  readonly last: LastHeard
}

/** The lines that expect a visit, with the day they last heard of; who was told that it is off expects none. */
async function whoHeard(
  tx: Transaction,
  deps: Deps,
  { child, district }: ToldVisit,
): Promise<readonly Heard[]> {
  const heard = await lastHeardOf(tx, child.id, todayIn(deps, district))
  return (await reachableLines(tx, child.id)).flatMap((line) => {
    const last = heard.get(line.id)
    return last === undefined || last.kind === 'called-off' ? [] : [{ line, last }]
  })
}

interface Moment {
  readonly sendAt: Date
  readonly usefulUntil: Date
}

/** By noon of the day whoever did not hear of it has come or not. */
const NOON = 12 * 60

/** When a text about a day can leave in time; null when it cannot. */
function momentFor(deps: Deps, { timeZone, reminderPolicy }: District, day: Day): Moment | null {
  const usefulUntil = instantOf({ day, minute: NOON }, timeZone)
  const hours = sendingHours(policyOf(deps.shelf, reminderPolicy), timeZone)
  const sendAt = sendingMoment(deps.clock.now(), usefulUntil, hours)
  return sendAt === undefined ? null : { sendAt, usefulUntil }
}

interface Words {
  readonly line: PhoneLine
  readonly kind: 'moved' | 'called-off'
  readonly about: Pick<LastHeard, 'appointmentId' | 'aboutOn'>
  readonly moment: Moment
}

function reminderOf(
  deps: Deps,
  { child, district }: ToldVisit,
  { line, kind, about, moment }: Words,
): NewReminder {
  return {
    id: deps.newId(),
    districtId: district.id,
    childId: child.id,
    lineId: line.id,
    appointmentId: about.appointmentId,
    kind,
    aboutOn: about.aboutOn,
    ...moment,
    createdAt: deps.clock.now(),
  }
}
