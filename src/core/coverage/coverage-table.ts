import type { AreaRow } from './area-rows.ts'
import type { CoverageRow } from './coverage-rows.ts'
import { showRatio } from './shown-ratio.ts'

const FIGURES = ['series', 'dose', 'given', 'of', 'coverage', 'note'] as const
/** Columns of words stand to the left, of figures to the right. */
const IS_FIGURE = [false, false, true, true, true, true, false] as const

/** The coverage table for a terminal: columns in line, few children never as a bare percentage. */
export function coverageTable(rows: readonly CoverageRow[], place = 'village'): readonly string[] {
  const heading = [place, ...FIGURES]
  const table = [heading, ...rows.map(cells)]
  const widths = heading.map((_, column) => Math.max(...table.map((line) => (line[column] ?? '').length)))
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

/** The same by area: parts stand further in. */
export function areaTable(rows: readonly AreaRow[]): readonly string[] {
  const placed = rows.map(({ area, level, ...row }) => ({ village: `${indent(level)}${area}`, ...row }))
  return coverageTable(placed, 'area')
}

const indent = (level: number | null): string => '  '.repeat((level ?? 1) - 1)
