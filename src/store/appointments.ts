import { z } from 'zod'
import { formatDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { Appointment, AppointmentStatus, PlannedDose } from '../core/model.ts'
import type { Appointment as AppointmentRow } from '../generated/prisma/client.ts'
import type { PastSession } from '../core/supplies/need.ts'
import { byName } from './by-name.ts'
import type { Db } from './database.ts'
import { dayColumn, fromDate, toDate } from './days.ts'
import { withdrawByAppointment } from './reminders.ts'
import { statement } from './statements.ts'

export const plannedDoses = z.array(z.object({ series: z.string(), dose: z.int(), vaccine: z.string() }))

function appointment(row: AppointmentRow): Appointment {
  return {
    id: row.id,
    childId: row.childId,
    villageId: row.villageId,
    sessionOn: fromDate(row.sessionOn),
    doses: plannedDoses.parse(row.doses),
    scheduleCode: row.scheduleCode,
    notBeforeOn: row.notBeforeOn === null ? null : fromDate(row.notBeforeOn),
    // The table's check allows only these values.
    status: row.status as AppointmentStatus,
    reason: row.reason,
  }
}

/** The child's visits, newest session first. */
export async function appointmentsOfChild(db: Db, childId: string): Promise<Appointment[]> {
  const rows = await db.appointment.findMany({
    where: { childId },
    orderBy: [{ sessionOn: 'desc' }, { id: 'desc' }],
  })
  return rows.map(appointment)
}

export async function findPlannedAppointment(db: Db, childId: string): Promise<Appointment | undefined> {
  const row = await db.appointment.findFirst({ where: { childId, status: 'planned' } })
  return row === null ? undefined : appointment(row)
}

/** The planned visits of several children, by child. */
export async function plannedAppointments(
  db: Db,
  childIds: readonly string[],
): Promise<Map<string, Appointment>> {
  const rows = await db.appointment.findMany({ where: { childId: { in: [...childIds] }, status: 'planned' } })
  return new Map(rows.map((row) => [row.childId, appointment(row)]))
}

function plainDose({ series, dose, vaccine }: PlannedDose) {
  return { series, dose, vaccine }
}

export interface NewAppointment {
  readonly id: string
  readonly districtId: string
  readonly childId: string
  readonly villageId: string
  readonly sessionOn: Day
  readonly doses: readonly PlannedDose[]
  readonly scheduleCode: string
  readonly notBeforeOn: Day | null
  readonly createdAt: Date
}

export async function insertAppointment(db: Db, given: NewAppointment): Promise<Appointment> {
  const data = {
    ...given,
    sessionOn: toDate(given.sessionOn),
    notBeforeOn: given.notBeforeOn === null ? null : toDate(given.notBeforeOn),
    doses: given.doses.map(plainDose),
  }
  return appointment(await db.appointment.create({ data }))
}

/** The visit stands; what is to be given at it has changed. */
export async function changeDosesOfVisit(
  db: Db,
  id: string,
  doses: readonly PlannedDose[],
): Promise<Appointment> {
  return appointment(await db.appointment.update({ where: { id }, data: { doses: doses.map(plainDose) } }))
}

export interface Closing {
  readonly status: Exclude<AppointmentStatus, 'planned'>
  readonly reason: string
  readonly at: Date
}

export async function closeAppointment(db: Db, id: string, closing: Closing): Promise<void> {
  const { status, reason, at } = closing
  await db.appointment.update({ where: { id }, data: { status, reason, closedAt: at } })
}

/** The family asks to come no earlier; kept with the planned visit, so that planning again respects it. */
export async function wishLater(db: Db, id: string, notBeforeOn: Day): Promise<void> {
  await db.appointment.update({ where: { id }, data: { notBeforeOn: toDate(notBeforeOn) } })
}

/** A visit counted as missed whose doses were reported late was kept after all; its recalls are withdrawn. */
export async function keepMissedAppointments(
  db: Db,
  childId: string,
  visitDays: readonly Day[],
  at: Date,
): Promise<void> {
  const late = await db.appointment.findMany({
    where: { childId, status: 'missed', sessionOn: { in: visitDays.map(toDate) } },
    select: { id: true },
  })
  for (const { id } of late) {
    await closeAppointment(db, id, { status: 'kept', reason: 'reported-late', at })
    await withdrawByAppointment(db, id, { reason: 'reported-late', at })
  }
}

const overdueRows = statement('list-passed-appointments', z.object({ id: z.string(), child_id: z.string() }))

/** Planned visits of a district whose day is before `before`, oldest first, at most `limit`. */
export async function listPassedAppointments(
  db: Db,
  districtId: string,
  before: Day,
  limit: number,
): Promise<{ id: string; childId: string }[]> {
  const rows = await overdueRows(db, districtId, toDate(before), limit)
  return rows.map((row) => ({ id: row.id, childId: row.child_id }))
}

const dueRow = z.object({
  child_id: z.string(),
  card_number: z.string(),
  name: z.string(),
  village: z.string(),
  session_on: dayColumn,
  doses: plannedDoses,
})
const dueRows = statement('list-due', dueRow)

export interface DueQuery {
  readonly districtId: string
  readonly postId: string | null
  readonly villageId: string | null
  readonly from: Day
  readonly to: Day
}

export interface DueChild {
  readonly childId: string
  readonly cardNumber: string
  readonly name: string
  readonly village: string
  readonly sessionOn: Day
  readonly doses: readonly PlannedDose[]
}

/** Children with a visit planned from one day to another, in order of day, village and name. */
export async function listDue(db: Db, query: DueQuery): Promise<DueChild[]> {
  const { districtId, postId, villageId, from, to } = query
  const rows = await dueRows(db, districtId, postId, villageId, toDate(from), toDate(to))
  const children = rows.map((row) => ({
    childId: row.child_id,
    cardNumber: row.card_number,
    name: row.name,
    village: row.village,
    sessionOn: row.session_on,
    doses: row.doses,
  }))
  return children.sort(
    (one, other) =>
      one.sessionOn - other.sessionOn ||
      byName(one.village, other.village) ||
      byName(one.name, other.name) ||
      one.childId.localeCompare(other.childId),
  )
}

const pastSessionRows = statement('list-past-sessions', z.object({ due: z.int(), came: z.int() }))

/** Which past sessions of a post are asked for. */
export interface PastSessionsWish {
  readonly districtId: string
  readonly postId: string
  readonly from: Day
  readonly before: Day
  readonly limit: number
}

/** The last sessions of a post at which anyone was expected, newest first. */
export async function listPastSessions(db: Db, wish: PastSessionsWish): Promise<PastSession[]> {
  const { districtId, postId, from, before, limit } = wish
  return pastSessionRows(db, districtId, postId, formatDay(from), formatDay(before), limit)
}
