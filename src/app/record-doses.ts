import { addDays, formatDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { formatMinute } from '../core/days/clock-time.ts'
import { localTimeAt } from '../core/days/zoned-time.ts'
import type { LocalTime } from '../core/days/zoned-time.ts'
import type { Child, District, Dose } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import type { Verdict } from '../core/schedule/forecast-types.ts'
import { forecast } from '../core/schedule/forecast.ts'
import { changeChild, getChild, lockChild, recordIdOfCard, standingFor } from '../store/children.ts'
import type { Db, Transaction } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { dosesOfChild, insertDoses } from '../store/doses.ts'
import { unwantedVaccines } from '../store/follow-up.ts'
import { factsOf, routineDoses } from './child-facts.ts'
import type { Deps } from './deps.ts'
import { announce } from './webhooks/announce.ts'
import { refuseUnknownVaccines } from './district-words.ts'
import { planAdvice } from './plan-reminders-for.ts'
import { refreshPlan } from './refresh-plan.ts'
import type { Plan } from './refresh-plan.ts'
import { versionFor, versionsOf } from './schedule-versions.ts'
import { drawDoses } from './vials/draw-doses.ts'
import type { Draw } from './vials/draw-doses.ts'

export interface DoseReport {
  readonly childId: string
  /** What was given; `all` stands for everything that was due on the day. */
  readonly vaccines: readonly { readonly vaccine: string; readonly typedNumber: number | null }[] | 'all'
  readonly givenOn: Day
  /** The hour, where it was told: minutes after midnight on the clock of the district. */
  readonly givenMinute?: number | null
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd' | 'import' | 'exchange'
  readonly postId: string | null
  readonly textInId: string | null
  readonly sentAt: Date | null
  readonly delivery: Dose['delivery']
  /** Given by someone else, elsewhere, and entered from a card. */
  readonly isElsewhere: boolean
  /** The card it was reported under, where one was named. */
  readonly card?: string
  /** The number of the opened vial, as typed. */
  readonly vial: string | null
  /** From which vial each was drawn, where that is known already; left out, it is found out. */
  readonly draws?: ReadonlyMap<string, Draw>
}

/** What one reported dose means. */
export interface RecordedDose {
  readonly id: string
  readonly vaccine: string
  readonly givenOn: Day
  readonly typedNumber: number | null
  readonly counts: readonly Verdict[]
  /** True when this vaccine stood on record for this day before. */
  readonly wasKnown: boolean
}

export interface DosesRecorded {
  readonly plan: Plan
  readonly recorded: readonly RecordedDose[]
  /** From which vial each vaccine was drawn; none for doses given elsewhere. */
  readonly draws: ReadonlyMap<string, Draw>
}

const NO_DRAWS: ReadonlyMap<string, Draw> = new Map()

/**
 * Records the doses of one visit, whole or not at all, and plans the child again.
 * A dose already on record for the day stays as it is: the same report twice changes nothing.
 * @throws {Refusal} child-not-found, dose-in-future, dose-before-birth, vaccine-unknown, nothing-due
 */
export async function recordDoses(tx: Transaction, deps: Deps, report: DoseReport): Promise<DosesRecorded> {
  const { standing, reportedFor } = await whoseDoses(tx, report)
  const child = await followedAgain(tx, report, standing)
  const district = await getDistrict(tx, child.districtId)
  refuseBadTime(report, child, localTimeAt(deps.clock.now(), district.timeZone))
  const doses = await dosesOfChild(tx, child.id)
  const given =
    report.vaccines === 'all'
      ? await dueVaccines(tx, deps, { child, district, doses }, report.givenOn)
      : report.vaccines
  const vaccines = given.map(({ vaccine }) => vaccine)
  await refuseUnknownVaccines(tx, deps.shelf, district, vaccines)
  // Another register does not tell the vial, and may tell of doses long after.
  const isDrawn = !report.isElsewhere && report.via !== 'exchange'
  const known = report.draws ?? (isDrawn ? undefined : NO_DRAWS)
  const draws = known ?? (await drawDoses(tx, deps, { ...report, district, vaccines }))

  const stored = await insertDoses(
    tx,
    given.map(({ vaccine, typedNumber }) => ({
      id: deps.newId(),
      districtId: child.districtId,
      childId: child.id,
      birthOn: child.birthOn,
      vaccine,
      givenOn: report.givenOn,
      givenMinute: report.givenMinute ?? null,
      typedNumber,
      postId: report.postId,
      delivery: report.delivery,
      isElsewhere: report.isElsewhere,
      recordedBy: report.by,
      recordedVia: report.via,
      sentAt: report.sentAt,
      recordedAt: deps.clock.now(),
      textInId: report.textInId,
      reportedFor,
      vialId: draws.get(vaccine)?.vialId ?? null,
      isVialAssumed: draws.get(vaccine)?.isAssumed ?? false,
      vialFlags: draws.get(vaccine)?.flags ?? [],
    })),
  )
  const news = stored.map((subjectId) => ({ kind: 'dose' as const, childId: child.id, subjectId }))
  await announce(tx, deps, district, news)
  const plan = await refreshPlan(tx, deps, child.id)
  if (stored.length > 0 && !report.isElsewhere) {
    await planAdvice(tx, deps, { child, district, givenOn: report.givenOn, vaccines })
  }
  return { plan, recorded: recordedDoses(plan, report.givenOn, given, new Set(stored)), draws }
}

/** Doses reported under a merged record are those of the record that stands for it, and remember which it was. */
async function whoseDoses(tx: Transaction, { childId, card }: DoseReport) {
  const standing = await lockChild(tx, (await standingFor(tx, await getChild(tx, childId))).id)
  const recordId = card === undefined ? childId : await recordIdOfCard(tx, card)
  return { standing, reportedFor: recordId === standing.id ? null : (recordId ?? null) }
}

/** What another register tells of a child that died stays true of the time before. */
function isBeforeDeath({ via, givenOn }: DoseReport, { statusOn }: Child): boolean {
  return via === 'exchange' && statusOn !== null && givenOn <= statusOn
}

/** A child that was given up, or is away, and is vaccinated here is followed again. */
async function followedAgain(tx: Transaction, report: DoseReport, child: Child): Promise<Child> {
  const isClosed = child.status === 'entered-in-error' || child.status === 'duplicate'
  if (isClosed || (child.status === 'died' && !isBeforeDeath(report, child))) {
    throw new Refusal(
      'child-closed',
      `This child is closed (${child.status}); open the record before doses are added.`,
    )
  }
  const isBack =
    !report.isElsewhere && (child.status === 'lost' || child.status === 'refused' || child.status === 'away')
  if (!isBack) return child
  return changeChild(tx, child.id, {
    status: 'active',
    statusOn: report.givenOn,
    statusReason: 'dose-given',
    awayUntil: null,
  })
}

function refuseBadTime({ givenOn, givenMinute }: DoseReport, child: Child, now: LocalTime): void {
  const day = formatDay(givenOn)
  const isToCome = givenOn > now.day || (givenOn === now.day && (givenMinute ?? 0) > now.minute)
  if (isToCome) {
    const time = givenMinute == null ? day : `${day} ${formatMinute(givenMinute)}`
    throw new Refusal('dose-in-future', `${time} is still to come; send when the dose was given.`, {
      facts: { word: day },
    })
  }
  if (givenOn < child.birthOn) {
    const birth = formatDay(child.birthOn)
    throw new Refusal(
      'dose-before-birth',
      `${day} is before the birth on ${birth}; check the card and the day.`,
      { facts: { word: day } },
    )
  }
}

/** A child with every dose on record. */
export interface ChildOnRecord {
  readonly child: Child
  readonly district: District
  readonly doses: readonly Dose[]
}

/** The vaccines that may be given on a day and are due by then, or soon enough to ride along. */
export async function vaccinesDue(
  db: Db,
  deps: Deps,
  { child, district, doses }: ChildOnRecord,
  on: Day,
): Promise<string[]> {
  const versions = await versionsOf(db, deps.shelf, district.scheduleCode)
  const facts = factsOf(child, doses)
  const { next } = forecast(versionFor(versions, facts, on), facts, on)
  const due = next.filter(
    ({ earliest, due: dueOn, latest }) =>
      earliest <= on && dueOn <= addDays(on, district.bundlingDays) && (latest === null || latest >= on),
  )
  const unwanted = await unwantedVaccines(db, child.id)
  const wanted = due.filter((row) => !unwanted.has(null) && !unwanted.has(row.vaccine))
  return [...new Set(wanted.map((row) => row.vaccine))]
}

/** What ALL stands for. @throws {Refusal} nothing-due */
async function dueVaccines(tx: Transaction, deps: Deps, record: ChildOnRecord, on: Day) {
  const vaccines = new Set([
    ...(await vaccinesDue(tx, deps, record, on)),
    // A report sent twice: what was given that day stands for itself.
    ...routineDoses(record.doses).flatMap((dose) => (dose.givenOn === on ? [dose.vaccine] : [])),
  ])
  if (vaccines.size > 0) return [...vaccines].map((vaccine) => ({ vaccine, typedNumber: null }))
  throw new Refusal(
    'nothing-due',
    `Nothing is due for this child on ${formatDay(on)}; name the vaccines that were given.`,
  )
}

function recordedDoses(
  plan: Plan,
  givenOn: Day,
  given: readonly { readonly vaccine: string; readonly typedNumber: number | null }[],
  stored: ReadonlySet<string>,
): RecordedDose[] {
  const living = plan.doses.filter((dose) => dose.voidedAt === null)
  const routine = routineDoses(living)
  return given.flatMap(({ vaccine, typedNumber }) => {
    const dose = living.find((each) => each.vaccine === vaccine && each.givenOn === givenOn)
    if (dose === undefined) return []
    const counts = plan.forecast.given[routine.indexOf(dose)]?.counts ?? []
    return [{ id: dose.id, vaccine, givenOn, typedNumber, counts, wasKnown: !stored.has(dose.id) }]
  })
}
