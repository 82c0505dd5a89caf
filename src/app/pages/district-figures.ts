import type { CoverageRatio } from '../../core/coverage/coverage-ratio.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { findDose } from '../../core/coverage/dose-sheet.ts'
import type { DoseSheet, SheetDose } from '../../core/coverage/dose-sheet.ts'
import { periodDropout } from '../../core/coverage/dropout.ts'
import type { Dropout } from '../../core/coverage/dropout.ts'
import type { IndicatorSettings } from '../../core/coverage/indicator-settings.ts'
import { priority } from '../../core/coverage/priority.ts'
import type { CutOffs, Priority } from '../../core/coverage/priority.ts'
import { unreached } from '../../core/coverage/reach.ts'
import type { Unreached } from '../../core/coverage/reach.ts'
import type { Village } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { newestOf, versionsOf } from '../schedule-versions.ts'
import { sheetOf } from '../count-children.ts'
import { reportCoverage } from '../report-coverage.ts'
import type { CoverageReport } from '../report-coverage.ts'
import type { DistrictScope } from './district-scope.ts'
import { windowNamed } from './figure-choice.ts'
import type { FigureChoice } from './figure-choice.ts'

/** What is read off the doses against diphtheria, tetanus and pertussis, of a village or of the whole district. */
export interface PlaceFigures {
  /** The first dose: who was reached at all. */
  readonly first: CoverageRatio
  /** The dose that completes the infant series. */
  readonly last: CoverageRatio
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
  readonly choice: FigureChoice
  readonly sheet: DoseSheet
  readonly settings: IndicatorSettings
  readonly cutOffs: CutOffs
  /** The doses of the DTP-containing series, first to last. */
  readonly ladder: readonly SheetDose[]
  readonly villages: readonly VillageFigures[]
  readonly whole: PlaceFigures
}

/** Counts a district. @throws {Refusal} schedule-not-found; input-invalid when its schedule has no such series */
export async function districtFigures(scope: DistrictScope, choice: FigureChoice): Promise<DistrictFigures> {
  const { deps, db, district, villages, today } = scope
  const { shelf } = deps
  const { window, ...rest } = choice
  const question = { districtId: district.id, window: windowNamed(window, today), asOf: today, ...rest }
  const report = await reportCoverage(db, shelf, question)
  const sheet = await sheetIn(scope)
  const settings = shelf.indicators
  const cutOffs = cutOffsOf(settings)
  const ladder = ladderOf(sheet, settings)
  const figures = (name: string): PlaceFigures =>
    placeFigures(
      ladder.map(({ series, dose }) => rowOf(report.rows, { village: name, series, dose })),
      {
        settings,
        cutOffs,
      },
    )
  return {
    report,
    choice,
    sheet,
    settings,
    cutOffs,
    ladder,
    villages: villages.map((village) => ({ village, ...figures(village.name) })),
    whole: figures(ALL_VILLAGES),
  }
}

/** The doses a district's figures are about. */
export async function sheetIn({ deps, db, district }: DistrictScope): Promise<DoseSheet> {
  return sheetOf(deps.shelf, newestOf(await versionsOf(db, deps.shelf, district.scheduleCode)))
}

/** The lines between good and poor that are in use. */
export function cutOffsOf(settings: IndicatorSettings): CutOffs {
  const cutOffs = settings.cutOffs[settings.cutOffsInUse]
  if (cutOffs === undefined) throw new Error(`the cut-offs ${settings.cutOffsInUse} are missing`)
  return cutOffs
}

function ladderOf(sheet: DoseSheet, { zeroDose, underVaccinated }: IndicatorSettings): readonly SheetDose[] {
  const first = findDose(sheet, zeroDose)
  const last = findDose(sheet, underVaccinated)
  if (first === undefined || last === undefined)
    throw new Refusal('input-invalid', 'The schedule of the district has no DTP-containing series to show.')
  return sheet.doses.filter(
    ({ series, dose }) => series === first.series && dose >= first.dose && dose <= last.dose,
  )
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

function placeFigures(
  ladder: readonly CoverageRow[],
  { settings, cutOffs }: { readonly settings: IndicatorSettings; readonly cutOffs: CutOffs },
): PlaceFigures {
  const first = ladder[0]
  const last = ladder.at(-1)
  if (first === undefined || last === undefined) throw new Error('a ladder has at least one dose')
  const dropout = periodDropout(first.numerator, last.numerator, settings.smallNumberBelow)
  return {
    first,
    last,
    dropout,
    priority: priority(first.percent, dropout.percent, cutOffs),
    zeroDose: unreached(first.denominator, first.numerator),
    underVaccinated: unreached(last.denominator, last.numerator),
  }
}
