/** The coverage table: one row a village and series dose, then the district as a whole. */
import type { CoverageRatio } from './coverage-ratio.ts'
import { coverageRatio } from './coverage-ratio.ts'
import type { SheetDose } from './dose-sheet.ts'
import { percentText } from './shown-ratio.ts'
import type { TargetBase } from './target.ts'

/** The name under which the whole district stands. */
export const ALL_VILLAGES = 'ALL'

export interface VillageCounts {
  readonly name: string
  /** What the doses are measured against, for the window of the report; `null` when the authority gave none. */
  readonly denominators: Readonly<Record<TargetBase, number | null>>
  /** How many children had a series dose. */
  readonly count: (series: string, dose: number) => number
}

export interface CoverageRow extends CoverageRatio {
  readonly village: string
  readonly series: string
  readonly dose: number
}

/** Rows by village name (code point order), doses in schedule order, then `ALL`. */
export function coverageRows(
  villages: readonly VillageCounts[],
  doses: readonly Pick<SheetDose, 'series' | 'dose' | 'base'>[],
  smallNumberBelow: number,
): readonly CoverageRow[] {
  const byName = villages.toSorted((a, b) => (a.name < b.name ? -1 : 1))
  return [...byName, together(villages)].flatMap((village) =>
    doses.map(({ series, dose, base }) => {
      const denominator = base === null ? null : village.denominators[base]
      const ratio = coverageRatio(village.count(series, dose), denominator, smallNumberBelow)
      return { village: village.name, series, dose, ...ratio }
    }),
  )
}

function together(villages: readonly VillageCounts[]): VillageCounts {
  return {
    name: ALL_VILLAGES,
    denominators: {
      'live-births': sumOrNull(villages.map((village) => village.denominators['live-births'])),
      'surviving-infants': sumOrNull(villages.map((village) => village.denominators['surviving-infants'])),
    },
    count: (series, dose) => villages.reduce((sum, village) => sum + village.count(series, dose), 0),
  }
}

/** A village without a target leaves the whole without one: its doses over the others' children would flatter. */
function sumOrNull(values: readonly (number | null)[]): number | null {
  return values.reduce((sum, value) => (sum === null || value === null ? null : sum + value), 0)
}

/** Column names of the coverage table as a file. */
export const COVERAGE_COLUMNS = [
  'village',
  'series',
  'dose',
  'numerator',
  'denominator',
  'coverage_percent',
  'flags',
] as const

/** One row as texts, in column order; what is not known is empty. Quoting is the file writer's. */
export function coverageCells(row: CoverageRow): readonly string[] {
  const { numerator, denominator } = row
  const hasPercent = denominator !== null && row.percent !== null
  return [
    row.village,
    row.series,
    String(row.dose),
    String(numerator),
    denominator === null ? '' : denominator.toFixed(1),
    hasPercent ? percentText(numerator, denominator) : '',
    row.flags.join(' '),
  ]
}
