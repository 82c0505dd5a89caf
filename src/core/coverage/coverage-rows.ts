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
  /** The same for series that have a target of their own, by series; it stands before the other two. */
  readonly seriesDenominators?: ReadonlyMap<string, number>
  /** How many children had a series dose. */
  readonly count: (series: string, dose: number) => number
}

export interface CoverageRow extends CoverageRatio {
  readonly village: string
  readonly series: string
  readonly dose: number
}

export type CountedDose = Pick<SheetDose, 'series' | 'dose' | 'base'>

/** A place, or all of them together. */
interface Place {
  readonly name: string
  readonly denominator: (dose: CountedDose) => number | null
  readonly count: VillageCounts['count']
}

/** Rows by village name (code point order), doses in schedule order, then `ALL`. */
export function coverageRows(
  villages: readonly VillageCounts[],
  doses: readonly CountedDose[],
  smallNumberBelow: number,
): readonly CoverageRow[] {
  const places = villages.toSorted((a, b) => (a.name < b.name ? -1 : 1)).map(placeOf)
  return [...places, together(ALL_VILLAGES, places)].flatMap((place) =>
    placeRows(place, doses, smallNumberBelow),
  )
}

/** The rows of villages added up under one name. */
export function rowsTogether(
  name: string,
  villages: readonly VillageCounts[],
  { doses, smallNumberBelow }: { readonly doses: readonly CountedDose[]; readonly smallNumberBelow: number },
): readonly CoverageRow[] {
  return placeRows(together(name, villages.map(placeOf)), doses, smallNumberBelow)
}

function placeRows(
  place: Place,
  doses: readonly CountedDose[],
  smallNumberBelow: number,
): readonly CoverageRow[] {
  return doses.map((dose) => {
    const count = place.count(dose.series, dose.dose)
    const ratio = coverageRatio(count, place.denominator(dose), smallNumberBelow)
    return { village: place.name, series: dose.series, dose: dose.dose, ...ratio }
  })
}

function placeOf({ name, denominators, seriesDenominators, count }: VillageCounts): Place {
  const denominator: Place['denominator'] = ({ series, base }) =>
    seriesDenominators?.get(series) ?? (base === null ? null : denominators[base])
  return { name, denominator, count }
}

function together(name: string, places: readonly Place[]): Place {
  return {
    name,
    denominator: (dose) => sumOrNull(places.map((place) => place.denominator(dose))),
    count: (series, dose) => places.reduce((sum, place) => sum + place.count(series, dose), 0),
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
  return [row.village, ...figureCells(row)]
}

/** The cells after the name of the place. */
export function figureCells(row: Omit<CoverageRow, 'village'>): readonly string[] {
  const { numerator, denominator } = row
  const hasPercent = denominator !== null && row.percent !== null
  return [
    row.series,
    String(row.dose),
    String(numerator),
    denominator === null ? '' : denominator.toFixed(1),
    hasPercent ? percentText(numerator, denominator) : '',
    row.flags.join(' '),
  ]
}
