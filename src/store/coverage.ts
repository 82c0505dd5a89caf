import { z } from 'zod'
import { AGE_BANDS } from '../core/coverage/age-band.ts'
import type { AgeBand } from '../core/coverage/age-band.ts'
import type { CountedChild, DoseFact } from '../core/coverage/coverage-fact.ts'
import type { DosePair } from '../core/coverage/dose-pair.ts'
import type { DosePlace } from '../core/coverage/flows.ts'
import { cellKey, cellOf, inTurn } from '../core/coverage/tally.ts'
import type { CountedCell, CountedFacts, CoverageCell, Sums } from '../core/coverage/tally.ts'
import type { VillageTarget } from '../core/coverage/target.ts'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import type { Sex } from '../core/model.ts'
import type { Db, Transaction } from './database.ts'
import { dayColumn } from './days.ts'
import { hold } from './hold.ts'
import { statement } from './statements.ts'

const FactRow = z.object({
  series: z.string(),
  dose: z.int(),
  delivery: z.enum(['routine', 'campaign']),
  crudeOn: dayColumn,
  validOn: dayColumn.nullable(),
  isTimely: z.boolean(),
}) satisfies z.ZodType<DoseFact>

const CountedRow = z.object({
  child_id: z.string(),
  village_id: z.string(),
  sex: z.enum(['female', 'male', 'unknown']),
  birth_on: dayColumn,
  is_in_cohort: z.boolean(),
  facts: z.array(FactRow),
})

const readCountedRows = statement('read-counted', CountedRow)

/** As what the sums count these children, by identifier; a child never counted is absent. */
export async function readCounted(
  db: Db,
  childIds: readonly string[],
): Promise<ReadonlyMap<string, CountedFacts>> {
  const rows = await readCountedRows(db, [...childIds])
  return new Map(
    rows.map(({ child_id, village_id, sex, birth_on, is_in_cohort, facts }) => [
      child_id,
      {
        child: {
          village: village_id,
          sex: sex === 'unknown' ? null : sex,
          birthOn: birth_on,
          isInCohort: is_in_cohort,
        },
        facts,
      },
    ]),
  )
}

const CellColumns = z.object({
  id: z.int(),
  village_id: z.string(),
  birth_year: z.int(),
  is_in_cohort: z.boolean(),
  delivery: z.enum(['routine', 'campaign']),
  series: z.string(),
  dose: z.int(),
  month_on: dayColumn,
  age_band: z.enum(AGE_BANDS),
})

function cellOfRow(row: z.infer<typeof CellColumns>): CoverageCell {
  return {
    village: row.village_id,
    birthYear: row.birth_year,
    isInCohort: row.is_in_cohort,
    delivery: row.delivery,
    series: row.series,
    dose: row.dose,
    monthOn: row.month_on,
    ageBand: row.age_band,
  }
}

const addToCellRows = statement('add-to-cells', CellColumns)

/** Adds to the sums, which are made where they are not there yet; answers the number of each cell by its key. */
async function addToCells(
  tx: Transaction,
  changes: readonly CountedCell[],
): Promise<ReadonlyMap<string, number>> {
  const cells = changes.map(({ cell, sums }) => ({ ...cell, monthOn: formatDay(cell.monthOn), ...sums }))
  const touched = await addToCellRows(tx, JSON.stringify(cells))
  return new Map(touched.map((row) => [cellKey(cellOfRow(row)), row.id]))
}

const putCountedRows = statement('put-counted', z.never())

/** Makes what is counted of these children equal to what is given, and adds to the sums what that changes. */
export async function putCounted(
  tx: Transaction,
  counted: ReadonlyMap<string, CountedFacts>,
  changes: readonly CountedCell[],
): Promise<void> {
  const ids = await addToCells(tx, changes)
  const rows = [...counted].map(([childId, { child, facts }]) => ({
    childId,
    villageId: child.village,
    sex: child.sex ?? 'unknown',
    birthOn: formatDay(child.birthOn),
    isInCohort: child.isInCohort,
    facts: facts.map((fact) => factRow(child, fact, ids)),
  }))
  await putCountedRows(tx, JSON.stringify(rows))
}

function factRow(child: CountedChild, fact: DoseFact, ids: ReadonlyMap<string, number>): object {
  const { crudeOn, validOn } = fact
  const idOf = (on: Day): number | undefined => ids.get(cellKey(cellOf(child, fact, on)))
  return {
    ...fact,
    crudeOn: formatDay(crudeOn),
    validOn: validOn === null ? null : formatDay(validOn),
    cell: idOf(crudeOn),
    laterCell: validOn === null || validOn === crudeOn ? null : idOf(validOn),
  }
}

/** How many children of a village had a series dose, by measure. */
export interface VillageDoseCount extends Sums {
  readonly villageId: string
  readonly series: string
  readonly dose: number
}

const CountRow = z
  .object({
    village_id: z.string(),
    series: z.string(),
    dose: z.int(),
    crude: z.int(),
    valid: z.int(),
    timely: z.int(),
  })
  .transform(({ village_id, ...count }) => ({ villageId: village_id, ...count }))

/** The first and the last day of a period, both included. */
export interface Period {
  readonly fromOn: Day
  readonly toOn: Day
}

/** Which doses to count: those of a birth cohort, or those given in a period. */
export interface DosesAsked {
  readonly districtId: string
  /** `null`: of any year. */
  readonly birthYear: number | null
  /** `null`: given at any time, to children who are still followed. */
  readonly period: Period | null
  readonly ageBands: readonly AgeBand[]
}

const readSumRows = statement('read-coverage-sums', CountRow)

/** Counts from the sums; a period has to be of whole months. */
export function readSums(
  db: Db,
  { districtId, birthYear, period, ageBands }: DosesAsked,
): Promise<VillageDoseCount[]> {
  return readSumRows(db, districtId, birthYear, ...daysOf(period), [...ageBands])
}

const countFactRows = statement('count-coverage-facts', CountRow)

/** Counts dose by dose: any period, and one sex where asked (`null` for all). */
export function countFacts(
  db: Db,
  { districtId, birthYear, period, ageBands }: DosesAsked,
  sex: Sex | 'unknown' | null,
): Promise<VillageDoseCount[]> {
  return countFactRows(db, districtId, birthYear, ...daysOf(period), [...ageBands], sex)
}

function daysOf(period: Period | null): [from: string | null, to: string | null] {
  return period === null ? [null, null] : [formatDay(period.fromOn), formatDay(period.toOn)]
}

const PairRow = z
  .object({
    village_id: z.string(),
    birth_on: dayColumn,
    first_on: dayColumn,
    later_on: dayColumn.nullable(),
  })
  .transform((row) => ({
    villageId: row.village_id,
    birthOn: row.birth_on,
    firstOn: row.first_on,
    laterOn: row.later_on,
  }))

const readPairRows = statement('read-pair-histories', PairRow)

/** A followed child who had the first dose of a pair. */
export type PairOfChild = z.output<typeof PairRow>

/** Children who had the first dose of a pair: those born in a year, or who had it in a period. */
export function readPairs(
  db: Db,
  { districtId, birthYear, period }: Omit<DosesAsked, 'ageBands'>,
  { first, later }: DosePair,
): Promise<PairOfChild[]> {
  const doses = [first.series, first.dose, later.series, later.dose] as const
  return readPairRows(db, districtId, birthYear, ...daysOf(period), ...doses)
}

const PlaceRow = z
  .object({
    village: z.string(),
    home_post: z.string(),
    given_post: z.string().nullable(),
    is_elsewhere: z.boolean(),
    doses: z.int(),
  })
  .transform((row): DosePlace => ({
    village: row.village,
    homePost: row.home_post,
    givenPost: row.given_post,
    isElsewhere: row.is_elsewhere,
    doses: row.doses,
  }))

const countPlaceRows = statement('count-dose-places', PlaceRow)

/** Where the doses of a district's children were given, in a period or at any time. */
export function countDosePlaces(db: Db, districtId: string, period: Period | null): Promise<DosePlace[]> {
  return countPlaceRows(db, districtId, ...daysOf(period))
}

const planForRecount = statement('plan-for-recount', z.object({ jit: z.string() }))
const WrongSumRow = CellColumns.extend({ crude: z.int(), valid: z.int(), timely: z.int() }).transform(
  ({ crude, valid, timely, ...row }): CountedCell => ({
    cell: cellOfRow(row),
    sums: { crude, valid, timely },
  }),
)
const listWrongSumRows = statement('list-wrong-sums', WrongSumRow)

/**
 * Counts every sum anew from the facts and puts right what differs; answers how many sums were wrong. Others write
 * meanwhile: what differs is added, not written over. A second recount waits, lest both add it.
 */
export async function recountSums(tx: Transaction): Promise<number> {
  await planForRecount(tx)
  await hold(tx, ['recount of the coverage sums'])
  const wrong = await listWrongSumRows(tx)
  await addToCells(tx, inTurn(wrong))
  return wrong.length
}

/** A village with the target its authority stated. */
export interface TargetedVillage {
  readonly id: string
  readonly name: string
  readonly target: VillageTarget
  /** Yearly targets of series that have one of their own, by series. */
  readonly seriesTargets: ReadonlyMap<string, number>
  /** Who stated the target and for which year; `null` where nobody said. */
  readonly source: string | null
  readonly year: number | null
}

const TargetRow = z.object({
  village_id: z.string(),
  name: z.string(),
  population: z.int().nullable(),
  births_per_1000: z.number().nullable(),
  infant_deaths_per_1000_births: z.number().nullable(),
  live_births: z.number().nullable(),
  surviving_infants: z.number().nullable(),
  series_targets: z.record(z.string(), z.number()),
  target_source: z.string().nullable(),
  target_year: z.int().nullable(),
})

const readTargetRows = statement('read-village-targets', TargetRow)

export async function readVillageTargets(db: Db, districtId: string): Promise<TargetedVillage[]> {
  const rows = await readTargetRows(db, districtId)
  return rows.map((row) => ({
    id: row.village_id,
    name: row.name,
    target: targetOf(row),
    seriesTargets: new Map(Object.entries(row.series_targets)),
    source: row.target_source,
    year: row.target_year,
  }))
}

const putTargetRow = statement('put-village-target', z.never())

/** A target as an authority states it: counts, or only whose the rates are. */
export interface StatedTarget {
  readonly liveBirths: number | null
  readonly survivingInfants: number | null
  /** Of series measured against another group than births or infants, by series. */
  readonly bySeries: Readonly<Record<string, number>>
  readonly source: string | null
  readonly year: number | null
}

export async function putVillageTarget(
  tx: Transaction,
  villageId: string,
  stated: StatedTarget,
): Promise<void> {
  const { liveBirths, survivingInfants, bySeries, source, year } = stated
  await putTargetRow(tx, villageId, liveBirths, survivingInfants, source, year, JSON.stringify(bySeries))
}

/** Counts that were entered stand before what follows from the rates. */
function targetOf(row: z.infer<typeof TargetRow>): VillageTarget {
  const { live_births: liveBirths, surviving_infants: survivingInfants, population } = row
  if (liveBirths !== null || survivingInfants !== null)
    return { kind: 'entered', liveBirths, survivingInfants }
  if (population === null || row.births_per_1000 === null) return { kind: 'none' }
  return {
    kind: 'rates',
    population,
    birthsPer1000: row.births_per_1000,
    infantDeathsPer1000Births: row.infant_deaths_per_1000_births,
  }
}
