import { addDays, formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { PlannedDose } from '../model.ts'
import type { NextDose } from '../schedule/forecast-types.ts'
import { firstSession, lastSession } from '../sessions/session-calendar.ts'
import type { SessionDays } from '../sessions/session-calendar.ts'

/** Chooses a child's next visit. docs/appointments.md states the rule; its examples are run as tests. */

export interface AppointmentQuestion {
  /** The child's forecast rows. */
  readonly next: readonly NextDose[]
  /** The sessions the child can come to; nothing is booked after `sessions.to`. */
  readonly sessions: SessionDays
  readonly today: Day
  /** A visit waits for doses wanted at most this many days after the one wanted first. */
  readonly bundlingDays: number
  /** A parent's wish to come no earlier; refused where a dose would then pass its last day. */
  readonly notBefore?: Day
}

export interface Visit {
  readonly kind: 'appointment'
  readonly on: Day
  /** In the order of the forecast. */
  readonly doses: readonly PlannedDose[]
  /** Doses that no session reaches while they may be given: they need another way. */
  readonly outOfReach: readonly PlannedDose[]
  /** The rule and the days behind it, in one line. */
  readonly because: string
}

export interface NoVisit {
  readonly kind: 'none'
  /**
   * `complete`: nothing is left to give · `closed`: all that is left has passed its last day · `not-yet`: nothing is
   * wanted while the sessions last · `no-session-in-time`: no session reaches what is wanted · `would-be-too-late`:
   * from `notBefore` on, no session reaches a dose that one would reach today.
   */
  readonly reason: 'complete' | 'closed' | 'not-yet' | 'no-session-in-time' | 'would-be-too-late'
  readonly outOfReach: readonly PlannedDose[]
  readonly because: string
}

/** A dose that a session reaches, with the days a visit needs to know. */
interface ReachableDose {
  readonly row: NextDose
  /** First day on which a visit could give it. */
  readonly from: Day
  /** The last session at which it may be given; the end of the sessions where it has no earlier last day. */
  readonly until: Day
  /** Its due day, or `until` where that comes first. It may be past, and does not move as days go by. */
  readonly wantedOn: Day
}

/** The first session on which everything then wanted can be given; no dose is lost by waiting for another. */
export function nextAppointment(question: AppointmentQuestion): Visit | NoVisit {
  const { next, sessions, today, notBefore = today } = question
  const open = next.filter((row) => row.status !== 'closed' && (row.latest === null || row.latest >= today))
  if (next.length === 0) return noVisit('complete', [], 'Every series is complete.')
  if (open.length === 0) return noVisit('closed', [], 'Every unfinished series has passed its last day.')

  const start = latestOf([today, notBefore])
  const reached = (from: Day): ReachableDose[] =>
    open.map((row) => reachableDose(row, from, sessions)).filter((dose) => dose !== undefined)
  const without = (doses: readonly ReachableDose[]): NextDose[] =>
    open.filter((row) => !doses.some((dose) => dose.row === row))
  const doses = reached(start)
  const outOfReach = without(doses)
  if (doses.length < reached(today).length) {
    const because = `From ${formatDay(start)} on no session reaches ${names(outOfReach)} in time.`
    return noVisit('would-be-too-late', outOfReach, because)
  }
  return bookVisit(doses, outOfReach, question)
}

/** The dose as seen by a child who can come from `start` on; `undefined` where no session reaches it. */
function reachableDose(row: NextDose, start: Day, sessions: SessionDays): ReachableDose | undefined {
  const from = latestOf([row.earliest, start])
  const due = latestOf([row.earliest, row.due])
  if (row.latest === null || row.latest > sessions.to) return { row, from, until: sessions.to, wantedOn: due }
  const until = lastSession(sessions, row.latest)
  return until === undefined || until < from
    ? undefined
    : { row, from, until, wantedOn: earliestOf([due, until]) }
}

function bookVisit(
  doses: readonly ReachableDose[],
  outOfReach: readonly NextDose[],
  question: AppointmentQuestion,
): Visit | NoVisit {
  const { sessions, bundlingDays, today } = question
  const late = `No session up to ${formatDay(sessions.to)} reaches`
  if (doses.length === 0)
    return noVisit('no-session-in-time', outOfReach, `${late} ${names(outOfReach)} in time.`)

  const wantedOn = earliestOf(doses.map((dose) => dose.wantedOn))
  if (wantedOn > sessions.to)
    return noVisit('not-yet', outOfReach, `Nothing is due before ${formatDay(wantedOn)}.`)

  const first = doses.filter((dose) => dose.wantedOn === wantedOn)
  const waits = sessionsToWaitFor(doses, wantedOn, question)
  if (waits.length === 0)
    return noVisit('no-session-in-time', outOfReach, `${late} ${names(first.map((dose) => dose.row))}.`)

  const on = latestOf(waits)
  const given = doses.filter((dose) => dose.from <= on && dose.wantedOn <= addDays(on, bundlingDays))
  const awaited = given.filter((dose) => dose.from > earliestOf(waits)).map((dose) => dose.row)
  return {
    kind: 'appointment',
    on,
    doses: given.map((dose) => plannedDose(dose.row)),
    outOfReach: outOfReach.map(plannedDose),
    because:
      `${first.map((dose) => wish(dose, today)).join(', ')}; ${formatDay(on)} is the first session` +
      (awaited.length > 0 ? ` that can also give ${names(awaited)}.` : '.'),
  }
}

/** For each dose of the bundle the first session that can give it, unless another dose would be lost by then. */
function sessionsToWaitFor(
  doses: readonly ReachableDose[],
  wantedOn: Day,
  { sessions, bundlingDays }: AppointmentQuestion,
): Day[] {
  const until = earliestOf(doses.map((dose) => dose.until))
  return doses
    .filter((dose) => dose.wantedOn <= addDays(wantedOn, bundlingDays))
    .map((dose) => firstSession(sessions, latestOf([wantedOn, dose.from])))
    .filter((session) => session !== undefined)
    .filter((session) => session <= until)
}

/** Each vaccine of a visit once: one PENTA serves several series. */
export function vaccinesOf(doses: readonly PlannedDose[]): readonly string[] {
  return [...new Set(doses.map((dose) => dose.vaccine))]
}

function noVisit(reason: NoVisit['reason'], outOfReach: readonly NextDose[], because: string): NoVisit {
  return { kind: 'none', reason, outOfReach: outOfReach.map(plannedDose), because }
}

function wish({ row, until, wantedOn }: ReachableDose, today: Day): string {
  if (wantedOn < row.due) return `${names([row])} can be given until ${formatDay(until)} only`
  return `${names([row])} ${wantedOn < today ? 'has been due since' : 'is due on'} ${formatDay(wantedOn)}`
}

const plannedDose = ({ series, dose, vaccine }: NextDose): PlannedDose => ({ series, dose, vaccine })
const names = (rows: readonly NextDose[]): string => rows.map((row) => `${row.series} ${row.dose}`).join(', ')

// The greatest or least of days is one of them.
const latestOf = (days: readonly Day[]): Day => Math.max(...days) as Day
const earliestOf = (days: readonly Day[]): Day => Math.min(...days) as Day
