import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import type { DoseSheet } from '../../core/coverage/dose-sheet.ts'
import { periodDropout } from '../../core/coverage/dropout.ts'
import type { Dropout } from '../../core/coverage/dropout.ts'
import type { IndicatorSettings } from '../../core/coverage/indicator-settings.ts'
import { priority } from '../../core/coverage/priority.ts'
import type { CutOffs, Priority } from '../../core/coverage/priority.ts'
import { unreached } from '../../core/coverage/reach.ts'
import type { Unreached } from '../../core/coverage/reach.ts'
import type { Village } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { reportCoverage } from '../report-coverage.ts'
import type { CoverageReport } from '../report-coverage.ts'
import type { DistrictScope } from './district-scope.ts'
import { ladderOf, sheetIn } from './dose-ladder.ts'
import type { DoseLadder } from './dose-ladder.ts'
import { windowNamed } from './figure-choice.ts'
import type { FigureChoice } from './figure-choice.ts'

/** What is read off the doses against diphtheria, tetanus and pertussis, of a village or of the whole district. */
export interface PlaceFigures {
  readonly first: CoverageRow
  readonly last: CoverageRow
  readonly dropout: Dropout
  readonly priority: Priority | null
  readonly zeroDose: Unreached | null
  readonly underVaccinated: Unreached | null
}

export interface VillageFigures extends PlaceFigures {
  readonly village: Village
}

/** The figures of a district and its villages under one choice. */
export interface DistrictFigures {
  readonly report: CoverageReport
  readonly sheet: DoseSheet
  readonly ladder: DoseLadder
  readonly cutOffs: CutOffs
  /** In order of name. */
  readonly villages: readonly VillageFigures[]
  readonly whole: PlaceFigures
}

/** Counts a district. @throws {Refusal} dose-not-found when its schedule has no DTP-containing series */
export async function districtFigures(scope: DistrictScope, choice: FigureChoice): Promise<DistrictFigures> {
  const { deps, db, villages } = scope
  const { shelf } = deps
  const report = await reportCoverage(db, shelf, questionOf(scope, choice))
  const sheet = await sheetIn(scope)
  const ladder = ladderOf(sheet, shelf.indicators)
  const figures = (village: string): PlaceFigures =>
    placeFigures(
      shelf.indicators,
      rowOf(report.rows, { village, ...ladder.first }),
      rowOf(report.rows, { village, ...ladder.last }),
    )
  return {
    report,
    sheet,
    ladder,
    cutOffs: cutOffsOf(shelf.indicators),
    villages: villages.map((village) => ({ village, ...figures(village.name) })),
    whole: figures(ALL_VILLAGES),
  }
}

/** What a choice asks of the coverage report. */
export function questionOf({ district, today }: DistrictScope, { window, ...rest }: FigureChoice) {
  return { districtId: district.id, window: windowNamed(window, today), asOf: today, ...rest }
}

/** The lines between good and poor that are in use. */
export function cutOffsOf(settings: IndicatorSettings): CutOffs {
  const cutOffs = settings.cutOffs[settings.cutOffsInUse]
  if (cutOffs === undefined) throw new Error(`the cut-offs ${settings.cutOffsInUse} are missing`)
  return cutOffs
}

/** The row of one place and dose. @throws {Refusal} dose-not-found when the schedule has no such dose */
export function rowOf(
  rows: readonly CoverageRow[],
  wanted: Pick<CoverageRow, 'village' | 'series' | 'dose'>,
): CoverageRow {
  const { village, series, dose } = wanted
  const found = rows.find((row) => row.village === village && row.series === series && row.dose === dose)
  if (found !== undefined) return found
  throw new Refusal('dose-not-found', `The schedule of the district has no ${series} ${dose}.`)
}

function placeFigures(settings: IndicatorSettings, first: CoverageRow, last: CoverageRow): PlaceFigures {
  const dropout = periodDropout(first.numerator, last.numerator, settings.smallNumberBelow)
  return {
    first,
    last,
    dropout,
    priority: priority(first.percent, dropout.percent, cutOffsOf(settings)),
    zeroDose: unreached(first.denominator, first.numerator),
    underVaccinated: unreached(last.denominator, last.numerator),
  }
}
