import { nextAppointment, vaccinesOf } from '../appointments/next-appointment.ts'
import type { Visit } from '../appointments/next-appointment.ts'
import type { Chance } from '../chance.ts'
import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { PlannedDose } from '../model.ts'
import type { ReminderKind } from '../reminders/policy.ts'
import { forecast } from '../schedule/forecast.ts'
import type { GivenDose } from '../schedule/forecast-types.ts'
import type { SessionDays } from '../sessions/session-calendar.ts'
import { effectOf } from './assumptions.ts'
import { chanceOf } from './invent-child.ts'
import type { InventedChild } from './invent-child.ts'
import type { TextPlanner } from './plan-texts.ts'
import { reportVisit } from './report-visit.ts'
import type { SimulatedDistrict } from './simulated-district.ts'

/** A dose that was given, by the number the schedule gives it. */
export interface LivedDose extends PlannedDose {
  readonly on: Day
}

/** What became of a child up to the last day. */
export interface Life {
  readonly child: InventedChild
  /** What stands on the card. */
  readonly card: readonly GivenDose[]
  readonly doses: readonly LivedDose[]
  /** What the register holds of it. */
  readonly register: readonly GivenDose[]
  readonly kept: number
  readonly missed: number
  readonly texts: ReadonlyMap<ReminderKind, number>
  readonly textsLost: number
  readonly reports: number
  readonly reportsRefused: number
  readonly reportsMisread: number
}

interface Living {
  card: GivenDose[]
  doses: LivedDose[]
  register: readonly GivenDose[]
  kept: number
  missed: number
  missedInRow: number
  /** Recall texts since the last visit, as the policy counts them. */
  tries: number
  /** True where a text about a missed visit arrived since. */
  isRecalled: boolean
  texts: Map<ReminderKind, number>
  textsLost: number
  reports: number
  reportsRefused: number
  reportsMisread: number
}

interface Setting {
  readonly district: SimulatedDistrict
  readonly child: InventedChild
  /** Null: nobody is texted. */
  readonly planner: TextPlanner | null
  readonly chances: Readonly<Record<'visits' | 'texts' | 'reports', Chance>>
}

/** Plays one child from enrolment to the last day, through the rules that the service goes by. */
export function liveChild(
  district: SimulatedDistrict,
  child: InventedChild,
  planner: TextPlanner | null,
): Life {
  const chance = (matter: 'visits' | 'texts' | 'reports') => chanceOf(district, child.place, matter)
  const chances = { visits: chance('visits'), texts: chance('texts'), reports: chance('reports') }
  const setting = { district, child, planner: child.hasPhone ? planner : null, chances }
  const life = newborn()
  const lastOn = lastDayOf(district, child)
  for (let today = child.enrolledOn; today <= lastOn;) {
    const visit = plannedVisit(setting, life.register, today)
    if (visit === null || visit.on > lastOn) break
    const texts = setting.planner?.about(foreseen(setting, visit, today, life)) ?? []
    const before = texts.filter(({ on }) => on <= visit.on)
    const isReminded = send(setting, life, before) || life.isRecalled
    if (comes(setting, life, isReminded)) keepVisit(setting, life, visit)
    else {
      missVisit(life)
      const after = texts.filter(({ on }) => on > visit.on && on < nextSessionAfter(setting, visit.on))
      life.tries += after.length
      life.isRecalled = send(setting, life, after)
    }
    today = addDays(visit.on, 1)
  }
  return { child, ...life }
}

function newborn(): Living {
  return {
    ...{ card: [], doses: [], register: [], kept: 0, missed: 0, missedInRow: 0, tries: 0, isRecalled: false },
    ...{ texts: new Map(), textsLost: 0, reports: 0, reportsRefused: 0, reportsMisread: 0 },
  }
}

function lastDayOf({ endOn }: SimulatedDistrict, { leavesOn }: InventedChild): Day {
  return leavesOn === null || leavesOn > endOn ? endOn : addDays(leavesOn, -1)
}

/** The visit that the register plans; null where it plans none. */
function plannedVisit({ district, child }: Setting, given: readonly GivenDose[], today: Day): Visit | null {
  const { birthOn, sex } = child
  const { next } = forecast(district.schedule, { birthOn, sex, given }, today)
  const sessions = sessionsAt(district, child, today)
  const visit = nextAppointment({ next, sessions, today, bundlingDays: district.bundlingDays })
  return visit.kind === 'appointment' ? visit : null
}

function sessionsAt({ villages }: SimulatedDistrict, { homes }: InventedChild, on: Day): SessionDays {
  const village = homes.findLast(({ from }) => from <= on)?.village ?? 0
  const sessions = villages[village]
  if (sessions === undefined) throw new RangeError('every home is in one of the villages')
  return sessions
}

function nextSessionAfter({ district, child }: Setting, on: Day): Day {
  return sessionsAt(district, child, on).days.find((day) => day > on) ?? addDays(on, 1)
}

function foreseen({ child }: Setting, { on, doses }: Visit, bookedOn: Day, { tries }: Living) {
  return { birthOn: child.birthOn, bookedOn, visitOn: on, vaccines: vaccinesOf(doses), triesMade: tries }
}

/** Sends texts; true when one of them arrived. */
function send(
  { district, chances }: Setting,
  life: Living,
  texts: readonly { kind: ReminderKind }[],
): boolean {
  let arrived = 0
  for (const { kind } of texts) {
    life.texts.set(kind, (life.texts.get(kind) ?? 0) + 1)
    if (chances.texts.isLucky(district.assumptions.textLost)) life.textsLost += 1
    else arrived += 1
  }
  return arrived > 0
}

function comes({ district, child, chances }: Setting, { missedInRow }: Living, isReminded: boolean): boolean {
  const { assumptions } = district
  const unreminded = child.comes * assumptions.comesAfterMiss ** missedInRow
  return chances.visits.isLucky(Math.min(1, unreminded * (isReminded ? effectOf(assumptions) : 1)))
}

/** Gives what the card allows, writes it on the card and reports all that the register lacks. */
function keepVisit(setting: Setting, life: Living, visit: Visit): void {
  const { district, child, planner, chances } = setting
  const onCard = life.register === life.card ? visit : plannedVisit(setting, life.card, visit.on)
  const doses = onCard?.on === visit.on ? onCard.doses : []
  const vaccines = vaccinesOf(doses)
  life.kept += 1
  life.missedInRow = 0
  life.tries = 0
  life.isRecalled = false
  life.doses.push(...doses.map((dose) => ({ ...dose, on: visit.on })))
  if (vaccines.length === 0) {
    // The card had it all, and the register is told so.
    life.register = life.card
    life.reports += 1
    return
  }
  const before = life.card
  life.card = [...before, ...vaccines.map((vaccine) => ({ vaccine, on: visit.on }))]
  const told = reportVisit(district, { place: child.place, on: visit.on, vaccines }, chances.reports)
  life.reports += told.reports
  life.reportsRefused += told.refused
  life.reportsMisread += told.isMisread ? 1 : 0
  // A report that was understood is answered with what stands on record; what lacks there is sent with it.
  life.register =
    told.recorded.length === 0 ? life.register : told.isMisread ? [...before, ...told.recorded] : life.card
  const subject = { birthOn: child.birthOn, bookedOn: visit.on, visitOn: visit.on, vaccines, triesMade: 0 }
  if (planner?.advises(subject) === true) send(setting, life, [{ kind: 'aftercare' }])
}

function missVisit(life: Living): void {
  life.missed += 1
  life.missedInRow += 1
}
