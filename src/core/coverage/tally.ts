/**
 * The maintained sums behind every coverage figure: whole numbers that add and subtract.
 * A fact falls into the cell of its child, its dose and the day on which it counts. The same cells drive the sums in
 * Postgres (apply what `tallyChange` says) and a full recount (`tally` of all facts); both must agree.
 */
import type { Day } from '../days/day.ts'
import { civilDate } from '../days/day.ts'
import type { Dose } from '../model.ts'
import type { AgeBand } from './age-band.ts'
import { ageBand } from './age-band.ts'
import type { CountedChild, DoseFact } from './coverage-fact.ts'
import { firstOfMonth } from './report-window.ts'

/** Doses of one number, given in one month to children of one village and birth year. */
export interface CoverageCell {
  readonly village: string
  readonly birthYear: number
  readonly isInCohort: boolean
  readonly delivery: Dose['delivery']
  readonly series: string
  readonly dose: number
  /** The first day of the month in which the doses were given. */
  readonly monthOn: Day
  readonly ageBand: AgeBand
}

/** Children in a cell by measure; side by side, so that one row answers all three. */
export interface Sums {
  readonly crude: number
  readonly valid: number
  readonly timely: number
}
export type Measure = keyof Sums

export interface CountedCell {
  readonly cell: CoverageCell
  readonly sums: Sums
}

/** Sums by cell key. */
export type Tally = ReadonlyMap<string, CountedCell>

/** What is counted of one child. */
export interface CountedFacts {
  readonly child: CountedChild
  readonly facts: readonly DoseFact[]
}

/** Sums of all children from nothing. */
export function tally(children: Iterable<CountedFacts>): Tally {
  const cells = new Map<string, CountedCell>()
  for (const child of children) addChild(cells, child, 1)
  return cells
}

/**
 * What to add to the sums when children's facts change from `before` to `after`; one not on the register is in neither.
 * Every cell that either touches is there, also where nothing remains to add.
 */
export function tallyChange(
  before: Iterable<CountedFacts>,
  after: Iterable<CountedFacts>,
): readonly CountedCell[] {
  const cells = new Map<string, CountedCell>()
  for (const child of before) addChild(cells, child, -1)
  for (const child of after) addChild(cells, child, 1)
  return inTurn([...cells.values()])
}

/** Cells in the order in which everyone takes them, so that no two transactions wait for each other in a ring. */
export function inTurn(cells: readonly CountedCell[]): readonly CountedCell[] {
  const keyed = cells.map((counted) => ({ counted, key: cellKey(counted.cell) }))
  return keyed.sort((one, other) => (one.key < other.key ? -1 : 1)).map(({ counted }) => counted)
}

function addChild(cells: Map<string, CountedCell>, { child, facts }: CountedFacts, sign: 1 | -1): void {
  for (const fact of facts) {
    const timely = fact.isTimely ? sign : 0
    const isValidAtOnce = fact.validOn === fact.crudeOn
    const first = isValidAtOnce ? { crude: sign, valid: sign, timely } : { crude: sign, valid: 0, timely: 0 }
    addSums(cells, cellOf(child, fact, fact.crudeOn), first)
    if (isValidAtOnce || fact.validOn === null) continue
    addSums(cells, cellOf(child, fact, fact.validOn), { crude: 0, valid: sign, timely })
  }
}

/** Where a child's fact counts that happened on a day: its crude or its valid one. */
export function cellOf(child: CountedChild, fact: DoseFact, on: Day): CoverageCell {
  const { village, birthOn, isInCohort } = child
  const { delivery, series, dose } = fact
  return {
    village,
    birthYear: civilDate(birthOn).year,
    isInCohort,
    delivery,
    series,
    dose,
    monthOn: firstOfMonth(on),
    ageBand: ageBand(birthOn, on),
  }
}

function addSums(cells: Map<string, CountedCell>, cell: CoverageCell, sums: Sums): void {
  const key = cellKey(cell)
  const held = cells.get(key)?.sums ?? { crude: 0, valid: 0, timely: 0 }
  cells.set(key, {
    cell,
    sums: {
      crude: held.crude + sums.crude,
      valid: held.valid + sums.valid,
      timely: held.timely + sums.timely,
    },
  })
}

/** A text that is the same for the same cell and no other: none of the parts holds a line feed. */
export function cellKey(cell: CoverageCell): string {
  const { village, birthYear, isInCohort, delivery, series, dose, monthOn, ageBand: band } = cell
  return [village, birthYear, isInCohort, delivery, series, dose, monthOn, band].join('\n')
}
