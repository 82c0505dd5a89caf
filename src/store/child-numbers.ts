import type { ChildNumber } from '../core/exchange/patient-out.ts'
import { getChildren, standingFor } from './children.ts'
import type { Db } from './database.ts'

/** Numbers that others than this register gave to children. */

export interface NewChildNumber extends ChildNumber {
  readonly childId: string
  readonly since: Date
}

/** Stores those that are not there yet, whoever has them; answers how many were new. */
export async function insertChildNumbers(db: Db, numbers: readonly NewChildNumber[]): Promise<number> {
  const { count } = await db.childNumber.createMany({ data: [...numbers], skipDuplicates: true })
  return count
}

/** The children who have one of these numbers; for a merged record, the one that stands for it. */
export async function findChildIdsByNumbers(db: Db, numbers: readonly ChildNumber[]): Promise<string[]> {
  if (numbers.length === 0) return []
  const rows = await db.childNumber.findMany({
    where: { OR: numbers.map(({ issuer, number }) => ({ issuer, number })) },
    select: { childId: true },
    orderBy: { childId: 'asc' },
  })
  return standingIds(db, rows)
}

/** The same for a number, of this issuer or of any. */
export async function findChildIdsByNumber(
  db: Db,
  { issuer, number }: { readonly issuer: string | null; readonly number: string },
): Promise<string[]> {
  const rows = await db.childNumber.findMany({
    where: { number, ...(issuer === null ? {} : { issuer }) },
    select: { childId: true },
    orderBy: { childId: 'asc' },
  })
  return standingIds(db, rows)
}

export async function numbersOfChild(db: Db, childId: string): Promise<ChildNumber[]> {
  return db.childNumber.findMany({
    where: { childId },
    select: { issuer: true, number: true },
    orderBy: [{ issuer: 'asc' }, { number: 'asc' }],
  })
}

async function standingIds(db: Db, rows: readonly { readonly childId: string }[]): Promise<string[]> {
  const records = await getChildren(db, [...new Set(rows.map(({ childId }) => childId))])
  const standing = new Set<string>()
  for (const record of records) standing.add((await standingFor(db, record)).id)
  return [...standing]
}
