import type { ByAge } from '../core/coverage/age-band.ts'
import { bandsBefore } from '../core/coverage/age-band.ts'
import { MILESTONES } from '../core/coverage/coverage-fact.ts'
import type { CoverageRow, VillageCounts } from '../core/coverage/coverage-rows.ts'
import { coverageRows } from '../core/coverage/coverage-rows.ts'
import type { ReportWindow } from '../core/coverage/report-window.ts'
import { isWholeMonths, shareOfYear } from '../core/coverage/report-window.ts'
import type { Measure } from '../core/coverage/tally.ts'
import type { TargetBase } from '../core/coverage/target.ts'
import { annualTarget } from '../core/coverage/target.ts'
import { addDays, civilDate, daysInMonth } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { District, Sex } from '../core/model.ts'
import { countFacts, readSums, readVillageTargets } from '../store/coverage.ts'
import type { DosesAsked, Period, TargetedVillage, VillageDoseCount } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { sheetOf } from './count-children.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import type { Shelf } from './shelf.ts'

export interface CoverageQuestion {
  readonly districtId: string
  readonly window: ReportWindow
  readonly byAge: ByAge
  readonly measure: Measure
  /** What the authority stated, or the children on the register. */
  readonly denominator: 'administrative' | 'enrolled'
  /** Children of one sex; no authority states targets by sex, so only the enrolled denominator gives percentages. */
  readonly sex?: Sex | 'unknown'
  /** Today: no dose is of tomorrow, so a period that ends today is answered by the sums of its months. */
  readonly asOf?: Day
}

export interface CoverageReport {
  readonly district: District
  readonly question: CoverageQuestion
  readonly villages: readonly TargetedVillage[]
  readonly rows: readonly CoverageRow[]
  /** Children who had every infant dose, by village; measured like the rows. */
  readonly fullyImmunised: readonly CoverageRow[]
}

/**
 * Coverage by village and series dose, with the district as a whole at the end.
 * @throws {Refusal} district-not-found
 */
export async function reportCoverage(
  db: Db,
  shelf: Pick<Shelf, 'schedules' | 'indicators'>,
  question: CoverageQuestion,
): Promise<CoverageReport> {
  const district = await getDistrict(db, question.districtId)
  const [villages, versions] = await Promise.all([
    readVillageTargets(db, district.id),
    versionsOf(db, shelf, district.scheduleCode),
  ])
  const places = await countedPlaces(db, villages, question)
  const sheet = sheetOf(shelf, newestOf(versions))
  const limit = shelf.indicators.smallNumberBelow
  const rows = coverageRows(places, sheet.doses, limit)
  return { district, question, villages, rows, fullyImmunised: coverageRows(places, FULL, limit) }
}

/** A village with its doses and what they are measured against. */
export type CountedPlace = VillageCounts & { readonly id: string }

/** Counts each of these villages of the district. */
export async function countedPlaces(
  db: Db,
  villages: readonly TargetedVillage[],
  question: CoverageQuestion,
): Promise<readonly CountedPlace[]> {
  const counts = indexed(await countDoses(db, question), question.measure)
  return villages.map((village) => ({ id: village.id, ...villageCounts(village, counts, question) }))
}

/** The milestone as it were a dose. */
const FULL = [{ series: MILESTONES.fullyImmunised, dose: 1, base: 'surviving-infants' }] as const

/** From the sums wherever they answer; one sex, and a period that breaks a month, are counted dose by dose. */
function countDoses(
  db: Db,
  { districtId, window, byAge, sex, asOf }: CoverageQuestion,
): Promise<VillageDoseCount[]> {
  const asked = { districtId, ...dosesIn(window), ageBands: bandsBefore(byAge) }
  const isAnsweredBySums = sex === undefined && (window.kind !== 'period' || isOfWholeMonths(window, asOf))
  return isAnsweredBySums ? readSums(db, asked) : countFacts(db, asked, sex ?? null)
}

/** The doses of a window as the store knows them. */
export function dosesIn(window: ReportWindow): Pick<DosesAsked, 'birthYear' | 'period'> {
  return {
    birthYear: window.kind === 'cohort' ? window.birthYear : null,
    period: window.kind === 'period' ? window : null,
  }
}

function isOfWholeMonths({ fromOn, toOn }: Period, asOf: Day | undefined): boolean {
  return isWholeMonths(fromOn, asOf === toOn ? lastOfMonth(toOn) : toOn)
}

/** The last day of a day's month. */
function lastOfMonth(day: Day): Day {
  const { year, month, dayOfMonth } = civilDate(day)
  return addDays(day, daysInMonth(year, month) - dayOfMonth)
}

const keyOf = (villageId: string, series: string, dose: number): string => `${villageId} ${series} ${dose}`

function indexed(counts: readonly VillageDoseCount[], measure: Measure): ReadonlyMap<string, number> {
  return new Map(counts.map((count) => [keyOf(count.villageId, count.series, count.dose), count[measure]]))
}

function villageCounts(
  village: TargetedVillage,
  counts: ReadonlyMap<string, number>,
  { window, denominator, sex }: CoverageQuestion,
): VillageCounts {
  const count = (series: string, dose: number): number => counts.get(keyOf(village.id, series, dose)) ?? 0
  const target = (base: TargetBase): number | null => {
    if (denominator === 'enrolled') return count(MILESTONES.enrolled, 1)
    const annual = annualTarget(village.target, base)
    return annual === null || sex !== undefined ? null : annual * shareOfYear(window)
  }
  const isAgainstStated = denominator === 'administrative' && sex === undefined
  const own = isAgainstStated ? [...village.seriesTargets] : []
  return {
    name: village.name,
    denominators: {
      'live-births': target('live-births'),
      'surviving-infants': target('surviving-infants'),
    },
    seriesDenominators: new Map(own.map(([series, annual]) => [series, annual * shareOfYear(window)])),
    count,
  }
}
