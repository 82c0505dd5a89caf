import type { CoverageRow } from './coverage-rows.ts'
import { showRatio } from './shown-ratio.ts'

const HEADING = ['village', 'series', 'dose', 'given', 'of', 'coverage', 'note'] as const
/** Columns of words stand to the left, of figures to the right. */
const IS_FIGURE = [false, false, true, true, true, true, false] as const

/** The coverage table for a terminal: columns in line, few children never as a bare percentage. */
export function coverageTable(rows: readonly CoverageRow[]): readonly string[] {
  const table = [HEADING, ...rows.map(cells)]
  const widths = HEADING.map((_, column) => Math.max(...table.map((line) => (line[column] ?? '').length)))
  return table.map((line) =>
    line
      .map((cell, column) => aligned(cell, column, widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  )
}

function aligned(cell: string, column: number, width: number): string {
  return IS_FIGURE[column] === true ? cell.padStart(width) : cell.padEnd(width)
}

function cells(row: CoverageRow): readonly string[] {
  const { village, series, dose, numerator, denominator } = row
  return [
    village,
    series,
    String(dose),
    String(numerator),
    denominator === null ? '' : denominator.toFixed(1),
    coverageText(row),
    row.flags.join(' '),
  ]
}

function coverageText(row: CoverageRow): string {
  const shown = showRatio(row)
  if (shown.kind === 'no-denominator') return ''
  if (shown.kind === 'percent') return `${shown.text} %`
  return shown.interval === null ? shown.text : `${shown.text} (${shown.interval} %)`
}
