/** A coverage report as a file: the same columns in every format, docs/indicators.md says what they hold. */
import { stringify } from 'csv-stringify/sync'
import type { CoverageRatio } from '../core/coverage/coverage-ratio.ts'
import type { CoverageRow } from '../core/coverage/coverage-rows.ts'
import { COVERAGE_COLUMNS, coverageCells, figureCells } from '../core/coverage/coverage-rows.ts'
import type { IndicatorSettings } from '../core/coverage/indicator-settings.ts'
import { publishedRows } from '../core/coverage/suppression.ts'
import { formatDay } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import type { AreaReport } from './report-area-coverage.ts'
import type { CoverageQuestion, CoverageReport } from './report-coverage.ts'
import type { TargetedVillage } from '../store/coverage.ts'
import { xlsxFile } from './xlsx-file.ts'
import type { SheetColumn } from './xlsx-file.ts'

/** RFC 4180 in UTF-8, lines ended by a line feed. */
export function coverageCsv({ rows }: CoverageReport): string {
  return stringify([COVERAGE_COLUMNS, ...rows.map(coverageCells)])
}

const [, ...FIGURE_COLUMNS] = COVERAGE_COLUMNS

/** The same by area: its name and level in place of the village. */
export function areaCsv({ rows }: AreaReport): string {
  const cells = rows.map((row) => [row.area, row.level ?? '', ...figureCells(row)])
  return stringify([['area', 'level', ...FIGURE_COLUMNS], ...cells])
}

/** The CSV for readers outside the programme: no count in it, or to be worked out from it, is of few children. */
export function publishedCsv({ rows, question }: CoverageReport, settings: IndicatorSettings): string {
  const published = publishedRows(rows, {
    countAtLeast: settings.publishedCountAtLeast,
    isDenominatorCounted: question.denominator === 'enrolled',
  })
  const cells = rows.map(coverageCells)
  const withheld = cells.map((row, place) =>
    published[place]?.numerator === null
      ? row.map((cell, column) => WITHHELD[COVERAGE_COLUMNS[column] ?? 'village'] ?? cell)
      : row,
  )
  return stringify([COVERAGE_COLUMNS, ...withheld])
}

/** What stands in a withheld row instead of its own cells. */
const WITHHELD: Partial<Readonly<Record<(typeof COVERAGE_COLUMNS)[number], string>>> = {
  numerator: '',
  coverage_percent: '',
  flags: 'withheld',
}

/** The report with what it was asked and whose targets it divides by; figures unrounded. */
export function coverageJson({ rows, fullyImmunised, ...report }: CoverageReport) {
  return {
    ...headOf(report),
    rows: rows.map(({ village, series, dose, ...row }) => ({ village, series, dose, ...figures(row) })),
    fully_immunised: fullyImmunised.map(({ village, ...row }) => ({ village, ...figures(row) })),
  }
}

/** The same by area. */
export function areaJson({ rows, ...report }: AreaReport) {
  const { level, shown } = report.question
  return {
    ...headOf(report),
    level,
    shape: shown,
    rows: rows.map(({ area, level: own, series, dose, ...row }) => ({
      area,
      level: own,
      series,
      dose,
      ...figures(row),
    })),
  }
}

interface ReportHead {
  readonly district: District
  readonly question: CoverageQuestion
  readonly villages: readonly TargetedVillage[]
}

function headOf({ district, question, villages }: ReportHead) {
  const { window, byAge, measure, denominator, sex } = question
  return {
    district: district.name,
    schedule: district.scheduleCode,
    window:
      window.kind === 'period'
        ? { kind: window.kind, from: formatDay(window.fromOn), to: formatDay(window.toOn) }
        : window,
    byAge,
    measure,
    denominator,
    sex: sex ?? null,
    targets: villages.map(({ name, seriesTargets, source, year }) => {
      return { village: name, bySeries: Object.fromEntries(seriesTargets), source, year }
    }),
  }
}

function figures({ numerator, denominator, percent, flags }: CoverageRatio) {
  return { numerator, denominator, coverage_percent: percent, flags }
}

const SHEET_COLUMNS = [
  { name: 'village', width: 28 },
  { name: 'series', width: 12 },
  { name: 'dose', width: 6 },
  { name: 'numerator', width: 11 },
  { name: 'denominator', width: 12, format: '0.0' },
  { name: 'coverage_percent', width: 17, format: '0.0' },
  { name: 'flags', width: 26 },
] as const satisfies readonly (SheetColumn & { readonly name: (typeof COVERAGE_COLUMNS)[number] })[]

/** A workbook of one sheet, numbers as numbers with one decimal shown. */
export function coverageXlsx({ rows }: CoverageReport): Promise<Buffer> {
  return xlsxFile(
    'coverage',
    SHEET_COLUMNS,
    rows.map((row) => [row.village, ...sheetCells(row)]),
  )
}

const [, ...FIGURE_SHEET] = SHEET_COLUMNS

/** The same by area. */
export function areaXlsx({ rows }: AreaReport): Promise<Buffer> {
  return xlsxFile(
    'coverage',
    [{ name: 'area', width: 28 }, { name: 'level', width: 6 }, ...FIGURE_SHEET],
    rows.map((row) => [row.area, row.level, ...sheetCells(row)]),
  )
}

function sheetCells({ series, dose, numerator, denominator, percent, flags }: Omit<CoverageRow, 'village'>) {
  return [series, dose, numerator, denominator, percent, flags.join(' ')]
}
