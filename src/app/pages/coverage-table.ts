import { areasInTree } from '../../core/coverage/areas.ts'
import type { ShapeShown } from '../../core/coverage/areas.ts'
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import type { Measure } from '../../core/coverage/tally.ts'
import { listShapes } from '../../store/areas.ts'
import { readVillageTargets } from '../../store/coverage.ts'
import type { TargetedVillage } from '../../store/coverage.ts'
import { reportAreaCoverage } from '../report-area-coverage.ts'
import type { AreaReport } from '../report-area-coverage.ts'
import { reportCoverage } from '../report-coverage.ts'
import { questionOf, rowOf } from './district-figures.ts'
import type { DistrictScope } from './district-scope.ts'
import type { FigureChoice } from './figure-choice.ts'

export interface DoseInTable {
  readonly series: string
  readonly dose: number
}

/** One place with a dose measured in all three ways, side by side. */
export type MeasuredPlace = Readonly<Record<Measure, CoverageRow>> & {
  readonly name: string
  /** Null for the district as a whole. */
  readonly villageId: string | null
  /** Who stated the target and for which year. */
  readonly target: Pick<TargetedVillage, 'source' | 'year'> | null
}

export interface CoverageTable {
  /** Each place with each dose asked for. */
  readonly places: readonly MeasuredPlace[]
  /** The district as a whole with each of them. */
  readonly whole: readonly MeasuredPlace[]
}

/** What stands on a line: each village, or each area of a level as drawn then or now. */
export type TablePlaces =
  { readonly by: 'village' } | { readonly by: 'area'; readonly level: number; readonly shown: ShapeShown }

/** Doses in every place by every measure. @throws {Refusal} dose-not-found when the schedule has no such dose */
export async function coverageTable(
  scope: DistrictScope,
  choice: Omit<FigureChoice, 'measure'>,
  { doses, places }: { readonly doses: readonly DoseInTable[]; readonly places: TablePlaces },
): Promise<CoverageTable> {
  const rows = await measuredRows(scope, choice, places)
  const measured = (place: NamedPlace, village = place.name): MeasuredPlace[] =>
    doses.map((dose) => {
      const wanted = { village, ...dose }
      return {
        ...place,
        crude: rowOf(rows.crude, wanted),
        valid: rowOf(rows.valid, wanted),
        timely: rowOf(rows.timely, wanted),
      }
    })
  const whole = { name: scope.district.name, villageId: null, target: null }
  const named = places.by === 'village' ? await villagesNamed(scope) : areasNamed(rows.crude)
  return { places: named.flatMap((place) => measured(place)), whole: measured(whole, ALL_VILLAGES) }
}

type NamedPlace = Pick<MeasuredPlace, 'name' | 'villageId' | 'target'>

async function villagesNamed({ db, district, villages }: DistrictScope): Promise<readonly NamedPlace[]> {
  const targets = await readVillageTargets(db, district.id)
  return villages.map(({ id, name }) => {
    return { name, villageId: id, target: targets.find((each) => each.id === id) ?? null }
  })
}

function areasNamed(rows: readonly CoverageRow[]): readonly NamedPlace[] {
  const names = new Set(rows.map(({ village }) => village).filter((name) => name !== ALL_VILLAGES))
  return [...names].map((name) => ({ name, villageId: null, target: null }))
}

type MeasuredRows = Readonly<Record<Measure, readonly CoverageRow[]>>

async function measuredRows(
  scope: DistrictScope,
  choice: Omit<FigureChoice, 'measure'>,
  places: TablePlaces,
): Promise<MeasuredRows> {
  const ask = async (measure: Measure): Promise<readonly CoverageRow[]> => {
    const question = questionOf(scope, { ...choice, measure })
    if (places.by === 'village') return (await reportCoverage(scope.db, scope.deps.shelf, question)).rows
    const { rows } = await areaFigures(scope, { ...choice, measure }, places)
    return rows.map(({ area, ...row }) => ({ village: area, ...row }))
  }
  return { crude: await ask('crude'), valid: await ask('valid'), timely: await ask('timely') }
}

/** Coverage by the areas of a level, under one choice. */
export function areaFigures(
  scope: DistrictScope,
  choice: FigureChoice,
  places: Extract<TablePlaces, { readonly by: 'area' }>,
): Promise<AreaReport> {
  return reportAreaCoverage(scope.db, scope.deps.shelf, { ...questionOf(scope, choice), ...places })
}

/** How deep the areas of a district go, now or ever before, and whether they were drawn anew. */
export async function areaLevels({ db, district }: DistrictScope) {
  const shapes = await listShapes(db, district.id)
  const depths = shapes.flatMap(({ areas }) => areasInTree(areas).map(({ level }) => level))
  return { depth: Math.max(0, ...depths), isRedrawn: shapes.length > 1 }
}

/** What a table can be ordered by. */
export type CoverageOrder = 'village' | 'target' | Measure

/** Places in an order; those without a value come last whichever way it runs. */
export function orderedPlaces(
  places: readonly MeasuredPlace[],
  by: CoverageOrder,
  direction: 'up' | 'down',
): readonly MeasuredPlace[] {
  const sign = direction === 'up' ? 1 : -1
  const byName = places.toSorted((a, b) => (a.name < b.name ? -1 : 1))
  if (by === 'village') return direction === 'up' ? byName : byName.toReversed()
  return byName.toSorted((a, b) => {
    const [one, other] = [valueOf(a, by), valueOf(b, by)]
    if (one === null || other === null) return Number(one === null) - Number(other === null)
    return sign * (one - other)
  })
}

function valueOf(place: MeasuredPlace, by: Exclude<CoverageOrder, 'village'>): number | null {
  return by === 'target' ? place.crude.denominator : place[by].percent
}
