/** A coverage report as a file: the same columns in every format, docs/indicators.md says what they hold. */
import { stringify } from 'csv-stringify/sync'
import writeXlsxFile from 'write-excel-file/node'
import type { Row } from 'write-excel-file/node'
import type { CoverageRatio } from '../core/coverage/coverage-ratio.ts'
import { COVERAGE_COLUMNS, coverageCells } from '../core/coverage/coverage-rows.ts'
import type { CoverageRow } from '../core/coverage/coverage-rows.ts'
import type { IndicatorSettings } from '../core/coverage/indicator-settings.ts'
import { publishedRows } from '../core/coverage/suppression.ts'
import { formatDay } from '../core/days/day.ts'
import type { CoverageReport } from './report-coverage.ts'

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
    targets: villages.map(({ name, source, year }) => ({ village: name, source, year })),
    rows: rows.map(({ village, series, dose, ...row }) => ({ village, series, dose, ...figures(row) })),
    fully_immunised: fullyImmunised.map(({ village, ...row }) => ({ village, ...figures(row) })),
  }
}

function figures({ numerator, denominator, percent, flags }: CoverageRatio) {
  return { numerator, denominator, coverage_percent: percent, flags }
}

const WIDTHS: Readonly<Record<(typeof COVERAGE_COLUMNS)[number], number>> = {
  village: 28,
  series: 12,
  dose: 6,
  numerator: 11,
  denominator: 12,
  coverage_percent: 17,
  flags: 26,
}

/** A workbook of one sheet, numbers as numbers with one decimal shown. */
export function coverageXlsx(report: CoverageReport): Promise<Buffer> {
  const heading = COVERAGE_COLUMNS.map((value) => ({ value, fontWeight: 'bold' as const }))
  return writeXlsxFile([heading, ...report.rows.map(sheetRow)], {
    sheet: 'coverage',
    stickyRowsCount: 1,
    columns: COVERAGE_COLUMNS.map((column) => ({ width: WIDTHS[column] })),
  }).toBuffer()
}

function sheetRow(row: CoverageRow): Row {
  const decimal = (value: number | null) => (value === null ? null : { value, type: Number, format: '0.0' })
  return [
    { value: row.village, type: String },
    { value: row.series, type: String },
    { value: row.dose, type: Number },
    { value: row.numerator, type: Number },
    decimal(row.denominator),
    decimal(row.percent),
    { value: row.flags.join(' '), type: String },
  ]
}
