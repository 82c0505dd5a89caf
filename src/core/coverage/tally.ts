/**
 * The maintained sums behind every coverage figure: whole numbers that add and subtract.
 * A fact falls into one period cell, and into one cohort cell while the child is followed, by the day it counts on. The same keys drive the
 * sums in Postgres (apply what `tallyChange` says) and a full recount (`tally` of all facts); both must agree.
 */
import type { Day } from '../days/day.ts'
import { civilDate } from '../days/day.ts'
import type { AgeBand } from './age-band.ts'
import { ageBand } from './age-band.ts'
import type { Dose, Sex } from '../model.ts'
import type { CountedChild, DoseFact } from './coverage-fact.ts'
import { firstOfMonth } from './report-window.ts'

interface CellOfDose {
  readonly village: string
  readonly delivery: Dose['delivery']
  readonly series: string
  readonly dose: number
  readonly ageBand: AgeBand
}

/** Children by birth year and sex, or doses by the month given. */
export type CoverageCell = CellOfDose &
  (
    | { readonly grain: 'cohort'; readonly birthYear: number; readonly sex: Sex | 'unknown' }
    /** The first day of the month stands for it. */
    | { readonly grain: 'period'; readonly monthOn: Day }
  )

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

/** Sums by cell key; a cell whose sums are all zero is absent. */
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
 * What to add to the sums when a child's facts change from `before` to `after`; `null` for not on the register.
 * Ordered by key, so that two transactions take the same rows in the same order and never wait in a ring.
 */
export function tallyChange(before: CountedFacts | null, after: CountedFacts | null): readonly CountedCell[] {
  const cells = new Map<string, CountedCell>()
  if (before !== null) addChild(cells, before, -1)
  if (after !== null) addChild(cells, after, 1)
  return [...cells.entries()].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, counted]) => counted)
}

function addChild(cells: Map<string, CountedCell>, { child, facts }: CountedFacts, sign: 1 | -1): void {
  for (const fact of facts) {
    addDay(cells, { child, fact, on: fact.crudeOn }, { crude: sign, valid: 0, timely: 0 })
    if (fact.validOn === null) continue
    const timely = fact.isTimely ? sign : 0
    addDay(cells, { child, fact, on: fact.validOn }, { crude: 0, valid: sign, timely })
  }
}

interface DatedFact {
  readonly child: CountedChild
  readonly fact: DoseFact
  readonly on: Day
}

function addDay(cells: Map<string, CountedCell>, dated: DatedFact, sums: Sums): void {
  for (const cell of cellsOf(dated)) addSums(cells, { cell, sums })
}

function cellsOf({ child, fact, on }: DatedFact): readonly CoverageCell[] {
  const { village, birthOn } = child
  const { delivery, series, dose } = fact
  const shared = { village, delivery, series, dose, ageBand: ageBand(birthOn, on) }
  const birthYear = civilDate(birthOn).year
  const period: CoverageCell = { ...shared, grain: 'period', monthOn: firstOfMonth(on) }
  if (!child.isInCohort) return [period]
  return [period, { ...shared, grain: 'cohort', birthYear, sex: child.sex ?? 'unknown' }]
}

/** Adds to one cell and drops it when nothing is left in it. */
function addSums(cells: Map<string, CountedCell>, { cell, sums }: CountedCell): void {
  const key = cellKey(cell)
  const held = cells.get(key)?.sums ?? { crude: 0, valid: 0, timely: 0 }
  const crude = held.crude + sums.crude
  const valid = held.valid + sums.valid
  const timely = held.timely + sums.timely
  if (crude === 0 && valid === 0 && timely === 0) cells.delete(key)
  else cells.set(key, { cell, sums: { crude, valid, timely } })
}

/** A text that is the same for the same cell and no other. */
export function cellKey(cell: CoverageCell): string {
  const { grain, village, delivery, series, dose } = cell
  const when = cell.grain === 'cohort' ? [cell.birthYear, cell.sex] : [cell.monthOn]
  return JSON.stringify([grain, village, delivery, series, dose, cell.ageBand, ...when])
}
