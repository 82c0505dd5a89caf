import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { Statement } from '../core/exchange/statement-order.ts'
import type { StatedDose as Row } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'

/** What other registers say of doses. */

const jsonShape = z.json()

export interface DoseStatement extends Statement {
  readonly issuer: string
  readonly number: string
  readonly districtId: string
  readonly childId: string | null
  /** The codes as they came. */
  readonly code: z.infer<typeof jsonShape>
  readonly delivery: 'routine' | 'campaign'
  readonly receivedAt: Date
  readonly receivedBy: string
  /** Why it is no dose on record. */
  readonly problem: string | null
}

function statement(row: Row): DoseStatement {
  return {
    ...row,
    givenOn: row.givenOn === null ? null : fromDate(row.givenOn),
    code: jsonShape.parse(row.code),
    // The table's check allows only these values.
    delivery: row.delivery as DoseStatement['delivery'],
  }
}

export async function findStatement(
  db: Db,
  issuer: string,
  number: string,
): Promise<DoseStatement | undefined> {
  const row = await db.statedDose.findUnique({ where: { issuer_number: { issuer, number } } })
  return row === null ? undefined : statement(row)
}

export async function putStatement(db: Db, given: DoseStatement): Promise<void> {
  const { issuer, number, ...rest } = given
  const data = {
    ...rest,
    givenOn: given.givenOn === null ? null : toDate(given.givenOn),
    code: given.code ?? {},
  }
  await db.statedDose.upsert({
    where: { issuer_number: { issuer, number } },
    create: { issuer, number, ...data },
    update: data,
  })
}

/** One dose of one child, as far as anyone says. */
export interface DoseFacts {
  readonly childId: string
  readonly vaccine: string
  readonly givenOn: Day
}

/** Everything that is said of one dose. */
export async function statementsOf(
  db: Db,
  { childId, vaccine, givenOn }: DoseFacts,
): Promise<DoseStatement[]> {
  const rows = await db.statedDose.findMany({
    where: { childId, vaccine, givenOn: toDate(givenOn) },
    orderBy: [{ issuer: 'asc' }, { number: 'asc' }],
  })
  return rows.map(statement)
}

/** Notes why the statements about a dose led, or did not lead, to one on record. */
export async function noteProblem(
  db: Db,
  { childId, vaccine, givenOn }: DoseFacts,
  problem: string | null,
): Promise<void> {
  await db.statedDose.updateMany({
    where: { childId, vaccine, givenOn: toDate(givenOn), isWithdrawn: false },
    data: { problem },
  })
}

/** Gives the statements that came before their child to it; answers them. */
export async function claimStatements(
  db: Db,
  child: {
    readonly id: string
    readonly districtId: string
    readonly issuer: string
    readonly number: string
  },
): Promise<DoseStatement[]> {
  const { id: childId, districtId, issuer, number } = child
  const rows = await db.statedDose.updateManyAndReturn({
    where: { childId: null, districtId, childIssuer: issuer, childNumber: number },
    data: { childId },
  })
  return rows.map(statement)
}

/** Statements that are no doses on record, longest waiting first. */
export async function listStatementsAside(
  db: Db,
  districtId: string,
  limit: number,
): Promise<DoseStatement[]> {
  const rows = await db.statedDose.findMany({
    where: { districtId, problem: { not: null } },
    orderBy: [{ receivedAt: 'asc' }, { issuer: 'asc' }, { number: 'asc' }],
    take: limit,
  })
  return rows.map(statement)
}
