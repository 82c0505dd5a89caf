import { addDays } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { nextAppointment } from '../core/appointments/next-appointment.ts'
import type { AppointmentQuestion, NoVisit, Visit } from '../core/appointments/next-appointment.ts'
import type { Appointment, Child, District, Dose, Village } from '../core/model.ts'
import type { Forecast } from '../core/schedule/forecast-types.ts'
import {
  changeDosesOfVisit,
  closeAppointment,
  findPlannedAppointment,
  insertAppointment,
  keepMissedAppointments,
} from '../store/appointments.ts'
import { changeChild, lockChild } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, getVillage } from '../store/districts.ts'
import { dosesOfChild } from '../store/doses.ts'
import { lastNotGivenOn, unwantedVaccines } from '../store/follow-up.ts'
import { withdrawByAppointment, withdrawReminders } from '../store/reminders.ts'
import { isFollowed } from './child-facts.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { judgeChildren } from './judge-children.ts'
import { planVisitReminders } from './plan-reminders-for.ts'
import { sessionsOf } from './sessions-of.ts'
import { nextChangeOn, versionsOf } from './schedule-versions.ts'
import { policyOf } from './shelf.ts'
import { tellOfMove, tellThatCalledOff } from './tell-of-change.ts'

/** What is now planned for a child. */
export interface Plan {
  readonly child: Child
  readonly district: District
  readonly village: Village
  /** Every dose on record, withdrawn ones too. */
  readonly doses: readonly Dose[]
  readonly forecast: Forecast
  readonly appointment: Appointment | null
  /** Why there is no appointment. */
  readonly none: NoVisit | null
}

/**
 * The heart of the service: makes a child's verdicts, appointment and reminders follow from its record.
 * Called in the transaction of whatever changed the child; the same facts planned again change nothing.
 */
export async function refreshPlan(tx: Transaction, deps: Deps, childId: string): Promise<Plan> {
  const locked = await lockChild(tx, childId)
  const [district, village, doses] = [
    await getDistrict(tx, locked.districtId),
    await getVillage(tx, locked.villageId),
    await dosesOfChild(tx, childId),
  ]
  const today = todayIn(deps, district)
  const child = await backFromAway(tx, locked, today)
  const living = doses.filter((dose) => dose.voidedAt === null)
  const [judged] = await judgeChildren(tx, deps, { district, today }, [{ child, living }])
  if (judged === undefined) throw new Error('a child that is judged has an outlook')
  const { outlook } = judged
  await keepMissedAppointments(
    tx,
    childId,
    [...new Set(living.map((dose) => dose.givenOn))],
    deps.clock.now(),
  )

  const planned = await findPlannedAppointment(tx, childId)
  const sessions = sessionsOf(village, today, policyOf(deps.shelf, district.reminderPolicy))
  const unwanted = await unwantedVaccines(tx, childId)
  const next = outlook.next.filter((row) => !unwanted.has(null) && !unwanted.has(row.vaccine))
  const question = { next, sessions, today, bundlingDays: district.bundlingDays }
  const wanted = isFollowed(child)
    ? wantedVisit(question, living, planned, await lastNotGivenOn(tx, childId))
    : null
  const appointment = await settle(tx, deps, { child, district, outlook, planned, wanted })
  const versions = await versionsOf(tx, deps.shelf, district.scheduleCode)
  const again = [child.awayUntil, againOn(wanted, outlook, today), nextChangeOn(versions, today)]
  await changeChild(tx, childId, { planAgainOn: soonest(again) })
  const none = wanted?.kind === 'none' ? wanted : null
  return { child, district, village, doses, forecast: outlook, appointment, none }
}

/** An absence ends by itself on its day. */
async function backFromAway(tx: Transaction, child: Child, today: Day): Promise<Child> {
  const isBack = child.status === 'away' && child.awayUntil !== null && child.awayUntil <= today
  return isBack ? changeChild(tx, child.id, { status: 'active', statusOn: today, awayUntil: null }) : child
}

/** Whoever came today, if only to be sent home, does not come today again; a family that asked to come later does not come earlier. */
function wantedVisit(
  question: AppointmentQuestion,
  living: readonly Dose[],
  planned: Appointment | undefined,
  lastSeenOn: Day | null,
): Visit | NoVisit {
  const lastVisitOn = living.reduce<Day | undefined>(
    (last, { givenOn }) => later(last, givenOn),
    lastSeenOn ?? undefined,
  )
  const wish = planned !== undefined && isStillWanted(planned, question.next) ? planned.notBeforeOn : null
  const notBefore = later(lastVisitOn && addDays(lastVisitOn, 1), wish ?? undefined)
  if (notBefore === undefined || notBefore <= question.today) return nextAppointment(question)
  const visit = nextAppointment({ ...question, notBefore })
  return visit.kind === 'none' && visit.reason === 'would-be-too-late' ? nextAppointment(question) : visit
}

/** A wish was about a visit's doses; once one is given or taken back it is over. */
function isStillWanted(planned: Appointment, next: Forecast['next']): boolean {
  return planned.doses.every(({ series, dose }) =>
    next.some((row) => row.series === series && row.dose === dose),
  )
}

function later(one: Day | undefined, other: Day | undefined): Day | undefined {
  if (one === undefined || other === undefined) return one ?? other
  return one > other ? one : other
}

interface Settling {
  readonly child: Child
  readonly district: District
  readonly outlook: Forecast
  readonly planned: Appointment | undefined
  readonly wanted: Visit | NoVisit | null
}

/** Brings the stored appointment to what is wanted and its reminders with it. */
async function settle(tx: Transaction, deps: Deps, settling: Settling): Promise<Appointment | null> {
  const { child, planned, wanted } = settling
  const visit = wanted?.kind === 'appointment' ? wanted : null
  if (planned !== undefined && visit !== null && isSameSession(planned, child, visit))
    return keepVisit(tx, deps, settling, { planned, visit })

  const closing = planned === undefined ? null : await closeVisit(tx, deps, { ...settling, planned })
  const at = deps.clock.now()
  if (wanted === null) await withdrawReminders(tx, { childId: child.id }, { reason: 'not-followed', at })
  return visit === null ? null : bookVisit(tx, deps, settling, { visit, closing })
}

/** Ends a visit that is not wanted any more; a family that knew of it is told when no other takes its place. */
async function closeVisit(
  tx: Transaction,
  deps: Deps,
  { child, district, outlook, planned, wanted }: Settling & { readonly planned: Appointment },
): Promise<ClosingWords> {
  const at = deps.clock.now()
  const closing = closingOf(planned, outlook, wanted)
  await closeAppointment(tx, planned.id, { ...closing, at })
  await withdrawByAppointment(tx, planned.id, { reason: closing.reason, at })
  // Where nothing is wanted any more nobody is promised another day.
  const isCalledOff =
    closing.status === 'cancelled' && wanted?.kind === 'none' && wanted.reason === 'no-session-in-time'
  if (isCalledOff) await tellThatCalledOff(tx, deps, { child, district, planned })
  return closing
}

/** Stores a new visit with its reminders; a family that knew of another day is told. */
async function bookVisit(
  tx: Transaction,
  deps: Deps,
  { child, district, outlook, planned }: Settling,
  { visit, closing }: { readonly visit: Visit; readonly closing: ClosingWords | null },
): Promise<Appointment> {
  const appointment = await insertAppointment(tx, {
    id: deps.newId(),
    districtId: child.districtId,
    childId: child.id,
    villageId: child.villageId,
    sessionOn: visit.on,
    doses: visit.doses,
    scheduleCode: district.scheduleCode,
    notBeforeOn: planned !== undefined && isStillWanted(planned, outlook.next) ? planned.notBeforeOn : null,
    createdAt: deps.clock.now(),
  })
  await planVisitReminders(tx, deps, { child, district, appointment })
  if (planned !== undefined && closing?.status === 'replaced')
    await tellOfMove(tx, deps, { child, district, planned, appointment })
  return appointment
}

function isSameSession(planned: Appointment, child: Child, visit: Visit): boolean {
  return planned.sessionOn === visit.on && planned.villageId === child.villageId
}

/** The visit stands and with it what was texted about it; only what is to be given may have changed. */
async function keepVisit(
  tx: Transaction,
  deps: Deps,
  { child, district }: Settling,
  { planned, visit }: { readonly planned: Appointment; readonly visit: Visit },
): Promise<Appointment> {
  if (JSON.stringify(planned.doses) === JSON.stringify(visit.doses)) return planned
  const appointment = await changeDosesOfVisit(tx, planned.id, visit.doses)
  await planVisitReminders(tx, deps, { child, district, appointment })
  return appointment
}

interface ClosingWords {
  readonly status: 'kept' | 'replaced' | 'cancelled'
  readonly reason: string
}

/** A visit is kept when a series it was for has moved on, whatever the day. */
function closingOf(planned: Appointment, outlook: Forecast, wanted: Visit | NoVisit | null): ClosingWords {
  const stillWanted = new Map(outlook.next.map((row) => [row.series, row.dose]))
  const hasCome = planned.doses.some(({ series, dose }) => {
    const next = stillWanted.get(series)
    // A series without a row is complete, or gone from the schedule.
    return next === undefined ? outlook.complete.includes(series) : next > dose
  })
  if (hasCome) return { status: 'kept', reason: 'dose-given' }
  if (wanted === null) return { status: 'cancelled', reason: 'not-followed' }
  if (wanted.kind === 'none') return { status: 'cancelled', reason: wanted.reason }
  return { status: 'replaced', reason: 'plan-changed' }
}

function soonest(days: readonly (Day | null)[]): Day | null {
  const named = days.filter((day) => day !== null)
  // The least of some days is one of them.
  return named.length === 0 ? null : (Math.min(...named) as Day)
}

/**
 * A child for whom nothing is wanted within the sessions known today is looked at again when it is; one that no
 * session reaches, tomorrow.
 */
function againOn(wanted: Visit | NoVisit | null, outlook: Forecast, today: Day): Day | null {
  if (wanted?.kind !== 'none' || wanted.reason === 'complete' || wanted.reason === 'closed') return null
  const wantedOn = soonest(outlook.next.flatMap((row) => (row.status === 'closed' ? [] : [row.due])))
  return wantedOn === null ? null : (later(wantedOn, addDays(today, 1)) ?? null)
}
