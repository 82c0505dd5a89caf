import type { IdentifiedChild } from '../core/children/compare-children.ts'
import type { BirthWindow } from '../core/children/search.ts'
import type { Sex } from '../core/model.ts'
import type { Prisma } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'

/** What narrows the children that are compared one by one. */
export interface Narrowing {
  readonly districtId: string
  readonly villageId: string | null
  readonly birth: BirthWindow | null
  readonly cardNumber: string | null
  readonly limit: number
}

const IDENTITY = {
  formerNames: { select: { name: true } },
  caregivers: { where: { until: null }, select: { line: { select: { number: true } } } },
} as const
type Row = Prisma.ChildGetPayload<{ include: typeof IDENTITY }>

function identified(row: Row): IdentifiedChild {
  return {
    id: row.id,
    cardNumber: row.cardNumber,
    name: row.name,
    formerNames: row.formerNames.map(({ name }) => name),
    // The table's check allows only these values.
    sex: row.sex as Sex | null,
    birthOn: fromDate(row.birthOn),
    isBirthEstimated: row.isBirthEstimated,
    birthGroup: row.birthGroup,
    villageId: row.villageId,
    phones: row.caregivers.map(({ line }) => line.number),
  }
}

/** Children of a district with what they are searched by; merged records and those entered in error are left out. */
export async function childrenToCompare(db: Db, narrowing: Narrowing): Promise<IdentifiedChild[]> {
  const { districtId, villageId, birth, cardNumber, limit } = narrowing
  const rows = await db.child.findMany({
    where: {
      districtId,
      erasedAt: null,
      status: { notIn: ['duplicate', 'entered-in-error'] },
      ...(villageId === null ? {} : { villageId }),
      ...(birth === null ? {} : { birthOn: { gte: toDate(birth.fromOn), lte: toDate(birth.toOn) } }),
      ...(cardNumber === null ? {} : { cardNumber }),
    },
    include: IDENTITY,
    orderBy: { id: 'asc' },
    take: limit,
  })
  return rows.map(identified)
}

/** Children with what tells them from others, by identifier. */
export async function identitiesOf(
  db: Db,
  ids: readonly string[],
): Promise<ReadonlyMap<string, IdentifiedChild>> {
  const rows = await db.child.findMany({ where: { id: { in: [...ids] } }, include: IDENTITY })
  return new Map(rows.map((row) => [row.id, identified(row)]))
}
