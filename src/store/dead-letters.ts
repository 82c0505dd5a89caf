/** Texts that failed for good, and those that came in and could not be answered. */
import { z } from 'zod'
import type { Db } from './database.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

const outRow = z.object({
  id: z.string(),
  number: z.string(),
  purpose: z.string(),
  status: z.enum(['failed', 'undelivered', 'unknown']),
  reason: z.string().nullable(),
  created_at: z.date(),
  child_ids: z.array(z.string()),
})
const outRows = statement('list-dead-letters', outRow)

/** A text out that failed for good. */
export interface FailedText {
  readonly id: string
  readonly number: string
  readonly purpose: string
  readonly status: 'failed' | 'undelivered' | 'unknown'
  readonly reason: string | null
  readonly createdAt: Date
  /** Whom it was about. */
  readonly childIds: readonly string[]
}

export async function listFailedTexts(db: Db, districtId: string, limit: number): Promise<FailedText[]> {
  const rows = await outRows(db, districtId, limit)
  return rows.map(({ created_at, child_ids, ...row }) => ({
    ...row,
    createdAt: created_at,
    childIds: child_ids,
  }))
}

/** A text in that could not be answered. */
export interface ParkedText {
  readonly id: string
  readonly fromNumber: string
  readonly trouble: string | null
  readonly tries: number
  readonly receivedAt: Date
}

/** Texts put aside: those of a district's people and families, and of numbers nobody knows. */
export async function listParkedTexts(db: Db, districtId: string, limit: number): Promise<ParkedText[]> {
  const rows = await db.textIn.findMany({
    where: { parkedAt: { not: null }, handledAt: null },
    orderBy: { receivedAt: 'desc' },
    take: limit,
    select: { id: true, fromNumber: true, trouble: true, tries: true, receivedAt: true },
  })
  const numbers = rows.map((row) => row.fromNumber)
  const own = new Set([
    ...(
      await db.person.findMany({ where: { phone: { in: numbers }, districtId }, select: { phone: true } })
    ).map(({ phone }) => phone),
    ...(
      await db.phoneLine.findMany({
        where: { number: { in: numbers }, districtId },
        select: { number: true },
      })
    ).map(({ number }) => number),
  ])
  return rows.filter((row) => own.has(row.fromNumber))
}

const parkRows = statement('park-text-in', z.object({ tries: z.int(), is_parked: z.boolean() }))

/** Notes that answering failed; true when the text is put aside from now on. */
export async function noteTextInTrouble(
  db: Db,
  id: string,
  { trouble, at, mostTries }: { readonly trouble: string; readonly at: Date; readonly mostTries: number },
): Promise<boolean> {
  return (await parkRows(db, id, trouble, at, mostTries))[0]?.is_parked ?? false
}

/** The text is to be read again; false when it was not put aside. */
export async function unparkTextIn(db: Db, id: string): Promise<boolean> {
  const { count } = await db.textIn.updateMany({
    where: { id, parkedAt: { not: null }, handledAt: null },
    data: { parkedAt: null, tries: 0, triedAt: null },
  })
  return count === 1
}

export interface Closing {
  readonly id: string
  readonly districtId: string
  readonly by: string
  readonly at: Date
}

/** Takes a failed text off the list; undefined when it is not on it. */
export async function closeFailedText(
  db: Db,
  { id, districtId, by, at }: Closing,
): Promise<{ readonly purpose: string; readonly number: string; readonly body: string } | undefined> {
  const { count } = await db.textOut.updateMany({
    where: { id, districtId, closedAt: null, status: { in: ['failed', 'undelivered', 'unknown'] } },
    data: { closedAt: at, closedBy: by },
  })
  if (count === 0) return undefined
  return db.textOut.findUniqueOrThrow({ where: { id }, select: { purpose: true, number: true, body: true } })
}

/** Reminders of a failed text that are still of use are planned again; answers how many. */
export async function planAgainFrom(db: Db, textOutId: string, at: Date): Promise<number> {
  const { count } = await db.reminder.updateMany({
    where: { textOutId, status: { in: ['undelivered', 'unknown'] }, usefulUntil: { gt: at } },
    data: { status: 'planned', reason: null, textOutId: null, sendAt: at, updatedAt: at },
  })
  return count
}

const failingRows = statement('list-failing-numbers', z.object({ number: z.string() }))

/** So many texts in a row that did not arrive make a number one that no text reaches. */
const FAILED_IN_A_ROW = 3

/** Those of some numbers that no text reaches. */
export async function failingNumbers(db: Db, numbers: readonly string[]): Promise<ReadonlySet<string>> {
  if (numbers.length === 0) return new Set()
  const forms = [...new Set(numbers)].flatMap(vaultOf(db).formsOf)
  return new Set((await failingRows(db, forms, FAILED_IN_A_ROW)).map((row) => row.number))
}
