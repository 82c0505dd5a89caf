import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { Dose } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import type { Dose as DoseRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'
import { statement } from './statements.ts'

function dose(row: DoseRow): Dose {
  return {
    id: row.id,
    childId: row.childId,
    vaccine: row.vaccine,
    givenOn: fromDate(row.givenOn),
    givenMinute: row.givenMinute,
    typedNumber: row.typedNumber,
    // The table's check allows only these values.
    delivery: row.delivery as Dose['delivery'],
    isElsewhere: row.isElsewhere,
    recordedBy: row.recordedBy,
    recordedVia: row.recordedVia,
    recordedAt: row.recordedAt,
    voidedAt: row.voidedAt,
    voidReason: row.voidReason,
    vialId: row.vialId,
    vialFlags: row.vialFlags,
  }
}

/** Every dose of a child, withdrawn ones too, in order of day. */
export async function dosesOfChild(db: Db, childId: string): Promise<Dose[]> {
  const rows = await db.dose.findMany({ where: { childId }, orderBy: [{ givenOn: 'asc' }, { id: 'asc' }] })
  return rows.map(dose)
}

/** Doses on record, withdrawn ones left out, of some children, each child's in order of day. */
export async function livingDosesOf(
  db: Db,
  childIds: readonly string[],
): Promise<ReadonlyMap<string, Dose[]>> {
  const rows = await db.dose.findMany({
    where: { childId: { in: [...childIds] }, voidedAt: null },
    orderBy: [{ givenOn: 'asc' }, { id: 'asc' }],
  })
  const doses = new Map(childIds.map((id): [string, Dose[]] => [id, []]))
  for (const row of rows) doses.get(row.childId)?.push(dose(row))
  return doses
}

export async function findDose(db: Db, id: string): Promise<Dose | undefined> {
  const row = await db.dose.findUnique({ where: { id } })
  return row === null ? undefined : dose(row)
}

/** @throws {Refusal} dose-not-found */
export async function getDose(db: Db, id: string): Promise<Dose> {
  const found = await findDose(db, id)
  if (found === undefined) throw new Refusal('dose-not-found', `There is no dose ${id}.`)
  return found
}

/** How a dose was told: its post, the text it came in, and whether its vial was only assumed. */
export async function toldOfDose(
  db: Db,
  id: string,
): Promise<Pick<NewDose, 'postId' | 'textInId' | 'sentAt' | 'isVialAssumed'>> {
  const select = { postId: true, textInId: true, sentAt: true, isVialAssumed: true }
  return db.dose.findUniqueOrThrow({ where: { id }, select })
}

export interface NewDose {
  readonly id: string
  readonly districtId: string
  readonly childId: string
  readonly birthOn: Day
  readonly vaccine: string
  readonly givenOn: Day
  readonly givenMinute?: number | null
  readonly typedNumber: number | null
  readonly postId: string | null
  readonly delivery: Dose['delivery']
  readonly isElsewhere: boolean
  readonly recordedBy: string
  readonly recordedVia: string
  readonly sentAt: Date | null
  readonly recordedAt: Date
  readonly textInId: string | null
  /** The record it was reported under, where another stands for that one. */
  readonly reportedFor?: string | null
  readonly vialId: string | null
  readonly isVialAssumed: boolean
  readonly vialFlags: readonly string[]
}

/** Stores the doses that are not there yet; answers the identifiers of those it stored. */
export async function insertDoses(db: Db, doses: readonly NewDose[]): Promise<string[]> {
  const data = doses.map((given) => ({
    ...given,
    birthOn: toDate(given.birthOn),
    givenOn: toDate(given.givenOn),
    vialFlags: [...given.vialFlags],
  }))
  const stored = await db.dose.createManyAndReturn({ data, skipDuplicates: true, select: { id: true } })
  return stored.map((row) => row.id)
}

export interface Voiding {
  readonly at: Date
  readonly by: string
  readonly reason: string
}

/** Withdraws a dose; the record stays readable. False when it was withdrawn before. */
export async function voidDose(db: Db, id: string, voiding: Voiding): Promise<boolean> {
  const { count } = await db.dose.updateMany({
    where: { id, voidedAt: null },
    data: { voidedAt: voiding.at, voidedBy: voiding.by, voidReason: voiding.reason },
  })
  return count === 1
}

export interface StoredVerdict {
  readonly childId: string
  readonly doseId: string
  readonly series: string
  readonly number: number | null
  readonly isValid: boolean
  readonly reason: string | null
}

const replaceVerdictRows = statement('replace-verdicts', z.object({ changed: z.int() }))

/** Makes the stored verdicts of these children equal to the ones given; answers how many rows had to change. */
export async function replaceVerdicts(
  db: Db,
  childIds: readonly string[],
  verdicts: readonly StoredVerdict[],
): Promise<number> {
  const [row] = await replaceVerdictRows(db, [...childIds], JSON.stringify(verdicts))
  return row?.changed ?? 0
}
