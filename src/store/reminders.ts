import { z } from 'zod'
import { formatDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { dayColumn, fromDate, toDate } from './days.ts'
import { statement } from './statements.ts'

export type ReminderStatus =
  'planned' | 'queued' | 'handed' | 'delivered' | 'undelivered' | 'unknown' | 'withdrawn' | 'lapsed'

export interface NewReminder {
  readonly id: string
  readonly districtId: string
  readonly childId: string
  readonly lineId: string
  readonly appointmentId: string | null
  readonly kind: string
  readonly aboutOn: Day
  readonly sendAt: Date
  readonly usefulUntil: Date
  readonly createdAt: Date
}

/** How many texts about a child were handed over, or are on their way. */
export function countTextsAbout(db: Db, childId: string): Promise<number> {
  return db.reminder.count({ where: { childId, textOutId: { not: null } } })
}

/** Stores the reminders that are not there yet. */
export async function insertReminders(db: Db, reminders: readonly NewReminder[]): Promise<void> {
  const data = reminders.map((given) => ({
    ...given,
    aboutOn: toDate(given.aboutOn),
    updatedAt: given.createdAt,
  }))
  await db.reminder.createMany({ data, skipDuplicates: true })
}

export interface Withdrawal {
  readonly reason: string
  readonly at: Date
}

const open = { status: { in: ['planned', 'queued'] } }

/** Withdraws what is still to go out about an appointment. */
export async function withdrawByAppointment(
  db: Db,
  appointmentId: string,
  withdrawal: Withdrawal,
): Promise<void> {
  const { reason, at } = withdrawal
  await db.reminder.updateMany({
    where: { appointmentId, ...open },
    data: { status: 'withdrawn', reason, updatedAt: at },
  })
}

/** What a line last heard of a child's visit. */
export interface LastHeard {
  readonly kind: string
  readonly appointmentId: string
  readonly aboutOn: Day
}

/** What each line last heard of a visit of a child that is still to come, by line; not what it was to hear and did not. */
export async function lastHeardOf(
  db: Db,
  childId: string,
  today: Day,
): Promise<ReadonlyMap<string, LastHeard>> {
  const rows = await db.reminder.findMany({
    where: {
      childId,
      kind: { in: ['ahead', 'eve', 'moved', 'called-off'] },
      textOutId: { not: null },
      status: { not: 'undelivered' },
      aboutOn: { gte: toDate(today) },
    },
    orderBy: { sendAt: 'asc' },
    select: { lineId: true, kind: true, appointmentId: true, aboutOn: true },
  })
  return new Map(
    rows.map(({ lineId, kind, appointmentId, aboutOn }) => [
      lineId,
      // These kinds are about a visit, by the table's check.
      { kind, appointmentId: appointmentId ?? '', aboutOn: fromDate(aboutOn) },
    ]),
  )
}

/** Withdraws what is to go out to some lines about an appointment before an instant. */
export async function withdrawUntil(
  db: Db,
  { appointmentId, lineIds }: { readonly appointmentId: string; readonly lineIds: readonly string[] },
  before: Date,
  { reason, at }: Withdrawal,
): Promise<void> {
  await db.reminder.updateMany({
    where: { appointmentId, lineId: { in: [...lineIds] }, sendAt: { lt: before }, ...open },
    data: { status: 'withdrawn', reason, updatedAt: at },
  })
}

/** A recall as it was planned, whoever gets it. */
export type OpenRecall = Omit<NewReminder, 'id' | 'lineId' | 'createdAt'>

/** The recalls still to go out about the visits a child missed, each once however many lines get it. */
export async function openRecallsOf(db: Db, childId: string): Promise<OpenRecall[]> {
  const rows = await db.reminder.findMany({
    where: { childId, kind: { in: ['missed-1', 'missed-2'] }, appointment: { status: 'missed' }, ...open },
    distinct: ['appointmentId', 'kind'],
    select: {
      districtId: true,
      childId: true,
      appointmentId: true,
      kind: true,
      aboutOn: true,
      sendAt: true,
      usefulUntil: true,
    },
  })
  return rows.map((row) => ({ ...row, aboutOn: fromDate(row.aboutOn) }))
}

/** Withdraws what is still to go out about a child, or to a line. */
export async function withdrawReminders(
  db: Db,
  whose: { readonly childId: string } | { readonly lineId: string },
  withdrawal: Withdrawal,
): Promise<void> {
  const { reason, at } = withdrawal
  await db.reminder.updateMany({
    where: { ...whose, ...open },
    data: { status: 'withdrawn', reason, updatedAt: at },
  })
}

/** The reminders of one line, kind and day: they leave as one text. */
export interface Bundle {
  readonly lineId: string
  readonly kind: string
  readonly aboutOn: Day
}

const pickedRow = z.object({ line_id: z.string(), kind: z.string(), about_on: dayColumn })
const pickRows = statement('pick-bundles', pickedRow)

/** Which numbers a lane serves: those that one of its prefixes fits longer than any of the others'. */
export interface LaneNumbers {
  readonly prefixes: readonly string[]
  readonly otherPrefixes: readonly string[]
}

/** The bundles of a lane that go next, districts taking turns. */
export async function pickBundles(
  db: Db,
  { prefixes, otherPrefixes }: LaneNumbers,
  now: Date,
  limit: number,
): Promise<Bundle[]> {
  const rows = await pickRows(db, [...prefixes], [...otherPrefixes], now, limit, otherPrefixes.length === 0)
  return rows.map((row) => ({ lineId: row.line_id, kind: row.kind, aboutOn: row.about_on }))
}

const lapseRows = statement('lapse-reminders', z.object({ lapsed: z.int() }))

/** Lets go of reminders that came too late to be of use; answers how many. */
export async function lapseReminders(db: Db, now: Date): Promise<number> {
  return (await lapseRows(db, now))[0]?.lapsed ?? 0
}

const claimedRow = z.object({
  id: z.string(),
  line_id: z.string(),
  kind: z.string(),
  about_on: dayColumn,
  district_id: z.string(),
  child_id: z.string(),
  child_name: z.string(),
  child_status: z.string(),
  appointment_id: z.string().nullable(),
  appointment_status: z.string().nullable(),
  village_id: z.string(),
  post_name: z.string(),
  number: z.string(),
  language: z.string(),
  preference: z.string(),
  is_stopped: z.boolean(),
  is_current_line: z.boolean(),
  has_come_since: z.boolean(),
  next_session_on: dayColumn.nullable(),
  vaccines: z.array(z.string()),
  useful_until: z.date(),
  plan_again_on: dayColumn.nullable(),
})
const claimRows = statement('claim-bundles', claimedRow)

/** A reminder held for sending, with all that decides whether it still makes sense and what it says. */
export interface ClaimedReminder extends Bundle {
  readonly id: string
  readonly districtId: string
  readonly childId: string
  readonly childName: string
  readonly childStatus: string
  readonly appointmentId: string | null
  readonly appointmentStatus: string | null
  readonly villageId: string
  readonly postName: string
  readonly number: string
  readonly language: string
  readonly preference: string
  /** True when the family sent STOP or never agreed. */
  readonly isStopped: boolean
  /** False when the child's caregiver has another number by now. */
  readonly isCurrentLine: boolean
  /** True when the child had a dose, or another visit passed, after the day the reminder is about. */
  readonly hasComeSince: boolean
  /** The child's next planned session, if any. */
  readonly nextSessionOn: Day | null
  /** For aftercare: what was given that day. */
  readonly vaccines: readonly string[]
  readonly usefulUntil: Date
  /** From this day on the child's plan is out of date; null while it is not. */
  readonly planAgainOn: Day | null
}

/** Locks the reminders of bundles that are due for the rest of the transaction; skips those another worker has. */
export async function claimBundles(
  db: Db,
  bundles: readonly Bundle[],
  now: Date,
): Promise<ClaimedReminder[]> {
  const rows = await claimRows(
    db,
    bundles.map(({ lineId }) => lineId),
    bundles.map(({ kind }) => kind),
    bundles.map(({ aboutOn }) => formatDay(aboutOn)),
    now,
  )
  return rows.map((row) => ({
    lineId: row.line_id,
    kind: row.kind,
    aboutOn: row.about_on,
    id: row.id,
    districtId: row.district_id,
    childId: row.child_id,
    childName: row.child_name,
    childStatus: row.child_status,
    appointmentId: row.appointment_id,
    appointmentStatus: row.appointment_status,
    villageId: row.village_id,
    postName: row.post_name,
    number: row.number,
    language: row.language,
    preference: row.preference,
    isStopped: row.is_stopped,
    isCurrentLine: row.is_current_line,
    hasComeSince: row.has_come_since,
    nextSessionOn: row.next_session_on,
    vaccines: row.vaccines,
    usefulUntil: row.useful_until,
    planAgainOn: row.plan_again_on,
  }))
}

export interface ReminderChange {
  readonly status: ReminderStatus
  readonly reason?: string | null
  readonly textOutId?: string | null
  readonly sendAt?: Date
}

export async function changeReminders(
  db: Db,
  ids: readonly string[],
  change: ReminderChange,
  at: Date,
): Promise<void> {
  await db.reminder.updateMany({ where: { id: { in: [...ids] } }, data: { ...change, updatedAt: at } })
}

/** Whether a text carries a reminder that was not withdrawn since. */
export async function isStillWanted(db: Db, textOutId: string): Promise<boolean> {
  return (await db.reminder.count({ where: { textOutId, status: { not: 'withdrawn' } } })) > 0
}

/** Brings the reminders carried by a text to where the text is. */
export async function followText(db: Db, textOutId: string, change: ReminderChange, at: Date): Promise<void> {
  // What was withdrawn meanwhile is not planned again; whether it left is still worth knowing.
  const not = change.status === 'planned' ? { status: { not: 'withdrawn' } } : {}
  await db.reminder.updateMany({ where: { textOutId, ...not }, data: { ...change, updatedAt: at } })
}

const recallRows = statement('count-recalls', z.object({ recalls: z.int() }))

/** Recall texts that went to the family since the child's last visit, one of them perhaps left out. */
export async function countRecalls(
  db: Db,
  childId: string,
  but?: Pick<NewReminder, 'appointmentId' | 'kind'>,
): Promise<number> {
  const rows = await recallRows(db, childId, but?.appointmentId ?? null, but?.kind ?? null)
  return rows[0]?.recalls ?? 0
}

/** Removes the withdrawn reminders of a visit to a line, so that they can be planned anew; not those in a text. */
export async function forgetWithdrawn(db: Db, appointmentId: string, lineId: string): Promise<void> {
  await db.reminder.deleteMany({ where: { appointmentId, lineId, status: 'withdrawn', textOutId: null } })
}
