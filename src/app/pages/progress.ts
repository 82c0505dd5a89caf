import { cumulative, cumulativeTarget } from '../../core/coverage/monitoring-line.ts'
import { firstOfMonth } from '../../core/coverage/report-window.ts'
import { annualTarget } from '../../core/coverage/target.ts'
import { addMonths, dayOf } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { readVillageTargets } from '../../store/coverage.ts'
import { countDosesByMonth } from '../../store/figures.ts'
import { ladderIn } from './dose-ladder.ts'
import type { DistrictScope } from './district-scope.ts'

const MONTHS = 12

/** A dose and the children who had it by the end of each month so far. */
export interface ProgressLine {
  readonly series: string
  readonly dose: number
  readonly children: readonly number[]
}

/** A year of a village or a district: what was reached against what should have been by then. */
export interface Progress {
  readonly year: number
  readonly first: ProgressLine
  readonly last: ProgressLine
  /** At the end of each month; `null` where a village has no target. */
  readonly target: readonly number[] | null
}

/** Counts the year up to the present month, or a year that is over in full. */
export async function yearProgress(
  scope: DistrictScope,
  { year, villageId }: { readonly year: number; readonly villageId: string | null },
): Promise<Progress> {
  const { first, last } = await ladderIn(scope)
  const months = monthsOf(year, scope.today)
  const counts = await countDosesByMonth(scope.db, {
    districtId: scope.district.id,
    villageId,
    series: first.series,
    period: { fromOn: months[0] ?? scope.today, toOn: months.at(-1) ?? scope.today },
  })
  const line = ({ series, dose }: { readonly series: string; readonly dose: number }): ProgressLine => {
    const inMonth = (monthOn: Day): number =>
      counts
        .filter((count) => count.monthOn === monthOn && count.dose === dose)
        .reduce((sum, { children }) => sum + children, 0)
    return { series, dose, children: cumulative(months.map(inMonth)) }
  }
  const annual = await targetOf(scope, villageId)
  return {
    year,
    first: line(first),
    last: line(last),
    target: annual === null ? null : cumulativeTarget(annual),
  }
}

/** The first day of each month of a year that has begun. */
function monthsOf(year: number, today: Day): readonly Day[] {
  const january = dayOf(year, 1, 1) ?? today
  return Array.from({ length: MONTHS }, (_, month) => addMonths(january, month)).filter((on) => on <= today)
}

async function targetOf({ db, district }: DistrictScope, villageId: string | null): Promise<number | null> {
  const villages = await readVillageTargets(db, district.id)
  const own = villageId === null ? villages : villages.filter(({ id }) => id === villageId)
  const targets = own.map(({ target }) => annualTarget(target, 'surviving-infants'))
  return targets.reduce((sum, value) => (sum === null || value === null ? null : sum + value), 0)
}

/** A month of a place: children who had the first and the last dose in it. */
export interface MonthOfDoses {
  readonly monthOn: Day
  readonly first: number
  readonly last: number
}

/** The months up to today, oldest first. */
export async function monthlyDoses(
  scope: DistrictScope,
  villageId: string,
  months: number,
): Promise<readonly MonthOfDoses[]> {
  const { first, last } = await ladderIn(scope)
  const begin = firstOfMonth(scope.today)
  const all = Array.from({ length: months }, (_, back) => addMonths(begin, back - months + 1))
  const counts = await countDosesByMonth(scope.db, {
    districtId: scope.district.id,
    villageId,
    series: first.series,
    period: { fromOn: all[0] ?? begin, toOn: begin },
  })
  const inMonth = (monthOn: Day, dose: number): number =>
    counts.find((count) => count.monthOn === monthOn && count.dose === dose)?.children ?? 0
  return all.map((monthOn) => ({
    monthOn,
    first: inMonth(monthOn, first.dose),
    last: inMonth(monthOn, last.dose),
  }))
}
