import type { Reading } from '../core/cold-chain/excursions.ts'
import type { Db } from './database.ts'

/** A temperature of one refrigerator of a post. */
export interface NewReading extends Reading {
  readonly id: string
  readonly districtId: string
  readonly postId: string
  /** As the post calls it. */
  readonly fridge: string
  readonly notedBy: string
  readonly notedVia: string
  readonly textInId: string | null
}

/** Stores the readings that are not there yet; answers how many were new. */
export async function insertReadings(db: Db, readings: readonly NewReading[]): Promise<number> {
  const { count } = await db.fridgeReading.createMany({
    data: readings.map(({ at, by, ...rest }) => ({ ...rest, readAt: at, readBy: by })),
    skipDuplicates: true,
  })
  return count
}

export async function voidReading(db: Db, id: string, at: Date): Promise<void> {
  await db.fridgeReading.update({ where: { id }, data: { voidedAt: at } })
}

export interface FridgeName {
  readonly postId: string
  readonly fridge: string
}

/** The refrigerators of a district of which a temperature is on record, of an instant or before it where one is given. */
export async function listFridges(db: Db, districtId: string, until?: Date): Promise<FridgeName[]> {
  return db.fridgeReading.findMany({
    where: { districtId, voidedAt: null, ...(until === undefined ? {} : { readAt: { lte: until } }) },
    distinct: ['postId', 'fridge'],
    select: { postId: true, fridge: true },
    orderBy: [{ postId: 'asc' }, { fridge: 'asc' }],
  })
}

/** The temperatures of a refrigerator between two instants, in order of time. */
export async function listReadings(
  db: Db,
  { postId, fridge }: FridgeName,
  from: Date,
  until: Date,
): Promise<Reading[]> {
  const rows = await db.fridgeReading.findMany({
    where: { postId, fridge, voidedAt: null, readAt: { gte: from, lte: until } },
    orderBy: { readAt: 'asc' },
  })
  // The table's check allows only these readers.
  return rows.map(({ readAt, celsius, readBy }) => ({ at: readAt, celsius, by: readBy as Reading['by'] }))
}
