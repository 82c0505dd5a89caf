import { firstOfMonth } from '../../core/coverage/report-window.ts'
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { addDays, addMonths } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { countNotGiven } from '../../store/entry-figures.ts'
import type { NotGivenCount } from '../../store/entry-figures.ts'
import { reportCoverage } from '../report-coverage.ts'
import { watchPosts } from './data-check.ts'
import type { PostAtWork } from './data-check.ts'
import type { DistrictScope } from './district-scope.ts'
import { ladderIn, sheetIn } from './dose-ladder.ts'
import { countMissed } from './follow-lists.ts'

export type { NotGivenCount } from '../../store/entry-figures.ts'

/** A month of a district on one page. */
export interface MonthReport {
  readonly fromOn: Day
  readonly toOn: Day
  /** The doses shown: the ladder's, and the first against measles. */
  readonly doses: readonly { readonly series: string; readonly dose: number }[]
  readonly rows: readonly CoverageRow[]
  readonly posts: readonly PostAtWork[]
  readonly notGiven: readonly NotGivenCount[]
  /** Now, not then. */
  readonly missed: number
}

/** Sums a month up; of the present one what there is so far. */
export async function monthReport(scope: DistrictScope, anyDay: Day): Promise<MonthReport> {
  const { db, deps, district, today } = scope
  const month = monthOf(anyDay)
  const { toOn } = month
  const sheet = await sheetIn(scope)
  const measles = deps.shelf.indicators.dropoutPairs.find(({ name }) => name === 'mcv-1-2')?.first
  const against = sheet.doses.filter(
    ({ series, dose }) => measles?.series.includes(series) === true && dose === measles.dose,
  )
  return {
    ...month,
    doses: [...(await ladderIn(scope)).steps, ...against],
    rows: await monthRows(scope, anyDay),
    posts: await watchPosts(scope, { ...month, toOn: toOn < today ? toOn : addDays(today, -1) }),
    notGiven: await countNotGiven(db, district.id, month),
    missed: await countMissed(scope),
  }
}

/** Doses on record given in a month, by village, against a twelfth of the target. */
export async function monthRows(
  { db, deps, district }: DistrictScope,
  anyDay: Day,
): Promise<readonly CoverageRow[]> {
  const { rows } = await reportCoverage(db, deps.shelf, {
    districtId: district.id,
    window: { kind: 'period', ...monthOf(anyDay) },
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
  })
  return rows
}

function monthOf(anyDay: Day): Pick<MonthReport, 'fromOn' | 'toOn'> {
  const fromOn = firstOfMonth(anyDay)
  return { fromOn, toOn: addDays(addMonths(fromOn, 1), -1) }
}
