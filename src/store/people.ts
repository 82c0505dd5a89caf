import type { Consent, Person, PhoneLine, Role } from '../core/model.ts'
import type { Person as PersonRow, PhoneLine as LineRow } from '../generated/prisma/client.ts'
import { byName } from './by-name.ts'
import type { Db } from './database.ts'
import { numberStart } from './number-start.ts'

function person(row: PersonRow): Person {
  // The table's check allows only these roles.
  return { ...row, role: row.role as Role }
}

function phoneLine(row: LineRow): PhoneLine {
  // The table's check allows only these values.
  return { ...row, consent: row.consent as Consent }
}

export async function findPersonByPhone(db: Db, phone: string): Promise<Person | undefined> {
  const row = await db.person.findFirst({ where: { phone, isActive: true } })
  return row === null ? undefined : person(row)
}

/** Someone who works for the programme; whoever left is not found. */
export async function findPerson(db: Db, id: string): Promise<Person | undefined> {
  const row = await db.person.findFirst({ where: { id, isActive: true } })
  return row === null ? undefined : person(row)
}

export async function listPeople(db: Db, districtId: string): Promise<Person[]> {
  const rows = await db.person.findMany({ where: { districtId, isActive: true } })
  return rows.map(person).sort((one, other) => byName(one.name, other.name))
}

/** Inserts a person or, where the phone is known, makes the record equal; whoever had left is back. */
export async function putPerson(db: Db, given: Person): Promise<Person> {
  const { id, phone, ...facts } = given
  const rest = { ...facts, isActive: true }
  const known = await db.person.findFirst({ where: { phone }, select: { id: true } })
  return person(
    await (known === null
      ? db.person.upsert({ where: { phone }, create: { id, phone, ...rest }, update: rest })
      : db.person.update({ where: { id: known.id }, data: rest })),
  )
}

/** Whoever works in a district and has none of these numbers works there no more; what they did stays theirs. */
export async function retireOthers(db: Db, districtId: string, phones: readonly string[]): Promise<void> {
  await db.person.updateMany({
    where: { districtId, phone: { notIn: [...phones] }, isActive: true },
    data: { isActive: false },
  })
}

/** Lines of this number in any district, with the district's line first made first. */
export async function findLinesByNumber(db: Db, number: string): Promise<PhoneLine[]> {
  return (await db.phoneLine.findMany({ where: { number }, orderBy: { createdAt: 'asc' } })).map(phoneLine)
}

export interface NewLine {
  readonly id: string
  readonly districtId: string
  readonly number: string
  readonly language: string
  readonly consent: Consent
  readonly consentSource: string
  readonly consentAt: Date
}

export interface PutLine {
  readonly line: PhoneLine
  /** True when nobody in the district had this number before. */
  readonly isNew: boolean
}

/** The line of a number in a district; an existing one keeps its own language and consent. */
export async function putLine(db: Db, given: NewLine): Promise<PutLine> {
  const { districtId, number } = given
  const known = await db.phoneLine.findFirst({ where: { districtId, number } })
  if (known !== null) return { line: phoneLine(known), isNew: false }
  const where = { districtId_number: { districtId, number } }
  const line = phoneLine(
    await db.phoneLine.upsert({
      where,
      create: { ...given, numberStart: numberStart(given.number) },
      update: {},
    }),
  )
  return { line, isNew: line.id === given.id }
}

export interface LineChange {
  readonly language?: string
  readonly consent?: Consent
  readonly consentSource?: string
  readonly consentAt?: Date
  readonly stoppedAt?: Date | null
  readonly preference?: string
}

export async function changeLine(db: Db, id: string, change: LineChange): Promise<PhoneLine> {
  return phoneLine(await db.phoneLine.update({ where: { id }, data: change }))
}

/** Lines that now receive texts about a child. */
export async function linesOfChild(db: Db, childId: string): Promise<PhoneLine[]> {
  const links = await db.caregiver.findMany({
    where: { childId, until: null },
    include: { line: true },
    orderBy: { since: 'asc' },
  })
  return links.map((link) => phoneLine(link.line))
}

export interface NewCaregiver {
  readonly id: string
  readonly childId: string
  readonly lineId: string
  readonly relation: string | null
  readonly phoneKind: string | null
  readonly since: Date
}

/** Joins a line to a child; joining twice changes nothing. */
export async function joinLine(db: Db, given: NewCaregiver): Promise<void> {
  const { childId, lineId } = given
  const known = await db.caregiver.findFirst({ where: { childId, lineId, until: null } })
  if (known !== null) return
  await db.caregiver.create({ data: given })
  await db.child.update({ where: { id: childId }, data: { isCompared: false } })
}

/** Ends every joining of the child to other lines; the old ones stay readable. */
export async function leaveOtherLines(
  db: Db,
  childId: string,
  lineId: string | null,
  at: Date,
): Promise<void> {
  await db.caregiver.updateMany({
    where: { childId, until: null, ...(lineId === null ? {} : { lineId: { not: lineId } }) },
    data: { until: at },
  })
}

/** Some lines of a district with the names of the children they serve, newest first. */
export async function listSomeLines(
  db: Db,
  districtId: string,
  limit: number,
): Promise<{ readonly number: string; readonly children: readonly string[] }[]> {
  const rows = await db.phoneLine.findMany({
    where: { districtId, caregivers: { some: { until: null } } },
    include: { caregivers: { where: { until: null }, include: { child: { select: { name: true } } } } },
    orderBy: { id: 'desc' },
    take: limit,
  })
  return rows.map(({ number, caregivers }) => ({
    number,
    children: caregivers.map(({ child }) => child.name),
  }))
}
