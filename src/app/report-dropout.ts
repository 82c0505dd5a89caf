import { ALL_VILLAGES } from '../core/coverage/coverage-rows.ts'
import type { CoverageRow } from '../core/coverage/coverage-rows.ts'
import { pairsOn } from '../core/coverage/dose-pair.ts'
import type { DosePair } from '../core/coverage/dose-pair.ts'
import type { DoseSheet, SheetDose } from '../core/coverage/dose-sheet.ts'
import { cohortDropout, laterDueOn, periodDropout } from '../core/coverage/dropout.ts'
import type { Dropout, PairHistory } from '../core/coverage/dropout.ts'
import type { ReportWindow } from '../core/coverage/report-window.ts'
import type { Day } from '../core/days/day.ts'
import { readPairs } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { sheetOf } from './count-children.ts'
import { dosesIn, reportCoverage } from './report-coverage.ts'
import type { CoverageReport } from './report-coverage.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import type { Shelf } from './shelf.ts'

export interface DropoutQuestion {
  readonly districtId: string
  readonly window: ReportWindow
  /** The day before which a dose must have been due to be missed. */
  readonly asOf: Day
}

/** One pair of doses in one village, or in the whole district, read one way. */
export interface DropoutRow extends Dropout {
  readonly village: string
  /** As the data file names it: `dtp-1-3`. */
  readonly pair: string
}

type Settings = Pick<Shelf, 'schedules' | 'indicators'>

/**
 * Dropout by village for every pair of doses that the schedule has, in both readings (docs/indicators.md).
 * @throws {Refusal} district-not-found, schedule-not-found
 */
export async function reportDropout(
  db: Db,
  shelf: Settings,
  question: DropoutQuestion,
): Promise<readonly DropoutRow[]> {
  const asked = { ...question, byAge: 'any', measure: 'crude', denominator: 'administrative' } as const
  const report = await reportCoverage(db, shelf, asked)
  const sheet = sheetOf(shelf, newestOf(await versionsOf(db, shelf, report.district.scheduleCode)))
  const rows: DropoutRow[] = []
  for (const { name: pair, doses } of pairsOn(sheet, shelf.indicators.dropoutPairs)) {
    const histories = await historiesOf(db, { report, sheet, question }, doses)
    for (const village of [...report.villages.map(({ name }) => name).sort(), ALL_VILLAGES]) {
      const own = village === ALL_VILLAGES ? [...histories.values()].flat() : (histories.get(village) ?? [])
      const given = (dose: SheetDose): number => countOf(report.rows, village, dose)
      const limit = shelf.indicators.smallNumberBelow
      rows.push({ village, pair, ...periodDropout(given(doses.first), given(doses.later), limit) })
      rows.push({ village, pair, ...cohortDropout(own, question.asOf, limit) })
    }
  }
  return rows
}

interface Asked {
  readonly report: CoverageReport
  readonly sheet: DoseSheet
  readonly question: DropoutQuestion
}

/** Children who had the first dose, by the name of their village. */
async function historiesOf(
  db: Db,
  { report, sheet, question }: Asked,
  doses: DosePair,
): Promise<ReadonlyMap<string, readonly PairHistory[]>> {
  const { districtId, window } = question
  const names = new Map(report.villages.map(({ id, name }) => [id, name]))
  const histories = new Map(report.villages.map(({ name }): [string, PairHistory[]] => [name, []]))
  for (const child of await readPairs(db, { districtId, ...dosesIn(window) }, doses)) {
    const { firstOn, laterOn, villageId } = child
    const history = { firstOn, laterOn, laterDueOn: laterDueOn(child, doses, sheet.monthEnd) }
    histories.get(names.get(villageId) ?? '')?.push(history)
  }
  return histories
}

function countOf(rows: readonly CoverageRow[], village: string, { series, dose }: SheetDose): number {
  return (
    rows.find((row) => row.village === village && row.series === series && row.dose === dose)?.numerator ?? 0
  )
}
