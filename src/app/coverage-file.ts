/** A coverage report as a file: the same columns in every format, docs/indicators.md says what they hold. */
import { stringify } from 'csv-stringify/sync'
import type { CoverageRatio } from '../core/coverage/coverage-ratio.ts'
import { COVERAGE_COLUMNS, coverageCells } from '../core/coverage/coverage-rows.ts'
import type { IndicatorSettings } from '../core/coverage/indicator-settings.ts'
import { publishedRows } from '../core/coverage/suppression.ts'
import { formatDay } from '../core/days/day.ts'
import type { CoverageReport } from './report-coverage.ts'
import { xlsxFile } from './xlsx-file.ts'
import type { SheetColumn } from './xlsx-file.ts'

/** RFC 4180 in UTF-8, lines ended by a line feed. */
export function coverageCsv({ rows }: CoverageReport): string {
  return stringify([COVERAGE_COLUMNS, ...rows.map(coverageCells)])
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
export function coverageJson({ district, question, villages, rows, fullyImmunised }: CoverageReport) {
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
    rows: rows.map(({ village, series, dose, ...row }) => ({ village, series, dose, ...figures(row) })),
    fully_immunised: fullyImmunised.map(({ village, ...row }) => ({ village, ...figures(row) })),
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
    rows.map((row) => [
      row.village,
      row.series,
      row.dose,
      row.numerator,
      row.denominator,
      row.percent,
      row.flags.join(' '),
    ]),
  )
}
