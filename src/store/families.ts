/** Who looks after a child, by which phone and where: now and before. */
import type { Db } from './database.ts'

export const PHONE_KINDS = ['own', 'household', 'neighbour', 'work'] as const
export type PhoneKind = (typeof PHONE_KINDS)[number]

/** A caregiver of a child; `until` is null while the phone gets texts about it. */
export interface FamilyPhone {
  readonly id: string
  readonly lineId: string
  readonly number: string
  readonly language: string
  readonly relation: string | null
  readonly phoneKind: PhoneKind | null
  readonly since: Date
  readonly until: Date | null
}

export interface FamilyAddress {
  readonly id: string
  readonly address: string
  readonly since: Date
  readonly until: Date | null
}

/** Phones in the order in which they came, former ones too. */
export async function phonesOfFamily(db: Db, childId: string): Promise<FamilyPhone[]> {
  const rows = await db.caregiver.findMany({
    where: { childId },
    include: { line: true },
    orderBy: [{ since: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ id, lineId, relation, phoneKind, since, until, line: { number, language } }) => ({
    id,
    lineId,
    number,
    language,
    relation,
    // The table's check allows only these values.
    phoneKind: phoneKind as PhoneKind | null,
    since,
    until,
  }))
}

/** Addresses in the order in which they came, former ones too. */
export async function addressesOfFamily(db: Db, childId: string): Promise<FamilyAddress[]> {
  return db.childAddress.findMany({
    where: { childId },
    orderBy: [{ since: 'asc' }, { id: 'asc' }],
    omit: { childId: true },
  })
}

export async function insertAddress(
  db: Db,
  address: Omit<FamilyAddress, 'until'> & { readonly childId: string },
): Promise<void> {
  await db.childAddress.create({ data: address })
}

/** Lets an address of a child end; false when it is none, or ended before. */
export async function endAddress(
  db: Db,
  whose: { readonly childId: string; readonly id: string },
  at: Date,
): Promise<boolean> {
  return (
    (await db.childAddress.updateMany({ where: { ...whose, until: null }, data: { until: at } })).count === 1
  )
}

/** Lets a caregiver of a child end; the line it had, or undefined when it is none or ended before. */
export async function endCaregiver(
  db: Db,
  whose: { readonly childId: string; readonly id: string },
  at: Date,
): Promise<string | undefined> {
  const ended = await db.caregiver.updateManyAndReturn({
    where: { ...whose, until: null },
    data: { until: at },
    select: { lineId: true },
  })
  return ended[0]?.lineId
}
