import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import type { Measure } from '../../core/coverage/tally.ts'
import type { TargetedVillage } from '../../store/coverage.ts'
import { reportCoverage } from '../report-coverage.ts'
import { rowOf } from './district-figures.ts'
import type { DistrictScope } from './district-scope.ts'
import { windowNamed } from './figure-choice.ts'
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
  readonly places: readonly MeasuredPlace[]
  readonly whole: MeasuredPlace
}

/** A dose in every village by every measure. @throws {Refusal} dose-not-found when the schedule has no such dose */
export async function coverageTable(
  scope: DistrictScope,
  choice: Omit<FigureChoice, 'measure'>,
  dose: DoseInTable,
): Promise<CoverageTable> {
  const { deps, db, district, today, villages } = scope
  const { window, ...rest } = choice
  const ask = (measure: Measure) => {
    const question = {
      districtId: district.id,
      window: windowNamed(window, today),
      asOf: today,
      ...rest,
      measure,
    }
    return reportCoverage(db, deps.shelf, question)
  }
  const crude = await ask('crude')
  const valid = await ask('valid')
  const timely = await ask('timely')
  const measured = (village: string) => {
    const wanted = { village, ...dose }
    return {
      crude: rowOf(crude.rows, wanted),
      valid: rowOf(valid.rows, wanted),
      timely: rowOf(timely.rows, wanted),
    }
  }
  return {
    places: villages.map(({ id, name }) => ({
      name,
      villageId: id,
      target: crude.villages.find((each) => each.id === id) ?? null,
      ...measured(name),
    })),
    whole: { name: district.name, villageId: null, target: null, ...measured(ALL_VILLAGES) },
  }
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
