/** Lists of children to look for. */
import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { statement } from './statements.ts'

const listedShape = {
  child_id: z.string(),
  card_number: z.string(),
  name: z.string(),
  birth_on: dayColumn,
  village_id: z.string(),
  village: z.string(),
}

/** A child as lists name it. */
export interface ListedChild {
  readonly childId: string
  readonly cardNumber: string
  readonly name: string
  readonly birthOn: Day
  readonly villageId: string
  readonly village: string
}

function listed(row: z.output<z.ZodObject<typeof listedShape>>): ListedChild {
  const { child_id, card_number, name, birth_on, village_id, village } = row
  return {
    childId: child_id,
    cardNumber: card_number,
    name,
    birthOn: birth_on,
    villageId: village_id,
    village,
  }
}

const holderRow = z.object({
  ...listedShape,
  crude_on: dayColumn.nullable(),
  valid_on: dayColumn.nullable(),
})
const holderRows = statement('list-dose-holders', holderRow)

/** A child and when it had a numbered dose; `null` when it did not. */
export interface DoseHolder extends ListedChild {
  readonly crudeOn: Day | null
  readonly validOn: Day | null
}

export interface HoldersAsked {
  readonly districtId: string
  readonly villageId: string | null
  readonly bornFrom: Day
  readonly bornTo: Day
  readonly series: string
  readonly dose: number
  /** Null: those who had it and those who did not. */
  readonly hadIt: boolean | null
  readonly limit: number
}

/** Followed children by village and age, with or without a dose. */
export async function listDoseHolders(db: Db, asked: HoldersAsked): Promise<DoseHolder[]> {
  const { districtId, villageId, bornFrom, bornTo, series, dose, hadIt, limit } = asked
  const born = [formatDay(bornFrom), formatDay(bornTo)]
  const rows = await holderRows(db, districtId, villageId, ...born, series, dose, hadIt, limit)
  return rows.map((row) => ({ ...listed(row), crudeOn: row.crude_on, validOn: row.valid_on }))
}

const movedRow = z.object({ ...listedShape, came_on: dayColumn, is_move: z.boolean() })
const movedRows = statement('list-moved-in', movedRow)

/** A child that came to its village lately. */
export interface NewcomerChild extends ListedChild {
  readonly cameOn: Day
  /** False: it was enrolled when it was no longer newborn. */
  readonly isMove: boolean
}

export interface NewcomersAsked {
  readonly districtId: string
  readonly villageId: string | null
  readonly since: Date
  readonly sinceOn: Day
  readonly lateAgeDays: number
}

export async function listNewcomers(db: Db, asked: NewcomersAsked): Promise<NewcomerChild[]> {
  const { districtId, villageId, since, sinceOn, lateAgeDays } = asked
  const rows = await movedRows(db, districtId, villageId, since, formatDay(sinceOn), lateAgeDays)
  return rows.map((row) => ({ ...listed(row), cameOn: row.came_on, isMove: row.is_move }))
}

const numberRows = statement(
  'list-numbers-of-children',
  z.object({ child_id: z.string(), number: z.string() }),
)

/**
 * The numbers of the families of some children, by child; those that want no texts can still be called. With
 * `preferences`, only those that may be written to and chose one of them.
 */
export async function numbersOfChildren(
  db: Db,
  childIds: readonly string[],
  preferences: readonly string[] | null = null,
): Promise<ReadonlyMap<string, readonly string[]>> {
  const numbers = new Map<string, string[]>()
  for (const { child_id, number } of await numberRows(db, [...childIds], preferences && [...preferences]))
    numbers.set(child_id, [...(numbers.get(child_id) ?? []), number])
  return numbers
}
