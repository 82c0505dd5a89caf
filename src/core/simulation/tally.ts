import { addDays, addSpan } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { SheetDose } from '../coverage/dose-sheet.ts'
import type { ReminderKind } from '../reminders/policy.ts'
import type { Life, LivedDose } from './live-child.ts'
import type { SimulatedDistrict } from './simulated-district.ts'

/** Completed days at which coverage is asked for. */
const FIRST_YEAR_DAYS = 365
const WEEK_DAYS = 7

/** What became of one dose of the schedule among children who lived their first year in the district. */
export interface DoseTally {
  readonly dose: SheetDose
  /** Had it in the first year. */
  had: number
  /** Had it before it was late. */
  inTime: number
}

/** The sums of all lives under one policy. */
export interface Tally {
  children: number
  /** Left the district before the last day. */
  left: number
  /** Lived the first year in the district before the last day: the denominator of every share. */
  cohort: number
  /** Had every dose of the first year that is for all children. */
  full: number
  readonly doses: readonly DoseTally[]
  /** Had the last dose of the indicator series by so many completed weeks. */
  readonly hadByWeek: number[]
  kept: number
  missed: number
  given: number
  /** Of the doses given, those on the register on the last day. */
  recorded: number
  readonly texts: Map<ReminderKind, number>
  textsLost: number
  reports: number
  reportsRefused: number
  reportsMisread: number
}

/** Sums of nobody yet. */
export function emptyTally({ sheet, startOn, endOn }: SimulatedDistrict): Tally {
  const weeks = Math.ceil((endOn - startOn) / WEEK_DAYS)
  return {
    ...{ children: 0, left: 0, cohort: 0, full: 0, kept: 0, missed: 0, given: 0, recorded: 0 },
    ...{ textsLost: 0, reports: 0, reportsRefused: 0, reportsMisread: 0 },
    doses: sheet.doses.filter(({ base }) => base !== null).map((dose) => ({ dose, had: 0, inTime: 0 })),
    hadByWeek: Array.from({ length: weeks + 1 }, () => 0),
    texts: new Map(),
  }
}

/** Adds one life; `shown` is the dose whose curve is kept. */
export function addLife(tally: Tally, district: SimulatedDistrict, life: Life, shown: SheetDose): void {
  const { birthOn, leavesOn } = life.child
  const firstYearEndsOn = addDays(birthOn, FIRST_YEAR_DAYS)
  const leaves = leavesOn !== null && leavesOn <= district.endOn
  tally.children += 1
  tally.left += leaves ? 1 : 0
  tally.kept += life.kept
  tally.missed += life.missed
  tally.textsLost += life.textsLost
  tally.reports += life.reports
  tally.reportsRefused += life.reportsRefused
  tally.reportsMisread += life.reportsMisread
  tally.given += life.card.length
  tally.recorded += life.card.filter((dose) => isOnRegister(life, dose)).length
  for (const [kind, count] of life.texts) tally.texts.set(kind, (tally.texts.get(kind) ?? 0) + count)
  const isInCohort = firstYearEndsOn <= district.endOn && (leavesOn === null || leavesOn > firstYearEndsOn)
  if (isInCohort) addToCohort(tally, district, life, { firstYearEndsOn, shown })
}

function isOnRegister({ register, card }: Life, { vaccine, on }: { vaccine: string; on: Day }): boolean {
  return register === card || register.some((dose) => dose.vaccine === vaccine && dose.on === on)
}

function addToCohort(
  tally: Tally,
  { sheet }: SimulatedDistrict,
  { child, doses }: Life,
  { firstYearEndsOn, shown }: { readonly firstYearEndsOn: Day; readonly shown: SheetDose },
): void {
  tally.cohort += 1
  let lacks = false
  for (const row of tally.doses) {
    const given = find(doses, row.dose)
    const had = given !== undefined && given.on < firstYearEndsOn
    if (had) row.had += 1
    else if (row.dose.isInfantDose) lacks = true
    const { lateFrom } = row.dose
    const isInTime =
      lateFrom !== null && given !== undefined && given.on < addSpan(child.birthOn, lateFrom, sheet.monthEnd)
    if (isInTime) row.inTime += 1
  }
  if (!lacks) tally.full += 1
  const given = find(doses, shown)
  const week =
    given === undefined ? tally.hadByWeek.length : Math.floor((given.on - child.birthOn) / WEEK_DAYS)
  for (let at = week; at < tally.hadByWeek.length; at += 1)
    tally.hadByWeek[at] = (tally.hadByWeek[at] ?? 0) + 1
}

function find(doses: readonly LivedDose[], { series, dose }: SheetDose): LivedDose | undefined {
  return doses.find((one) => one.series === series && one.dose === dose)
}
