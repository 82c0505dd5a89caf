import { z } from 'zod'
import type { Db } from './database.ts'
import { effectShape } from './effects.ts'
import type { Effect } from './effects.ts'
import { numberStart } from './number-start.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

/** A text that came in, as stored before anyone read it. */
export interface NewTextIn {
  readonly id: string
  readonly gateway: string
  readonly key: string
  readonly fromNumber: string
  readonly toNumber: string
  readonly body: string
  readonly missingParts: number
  readonly isBinary: boolean
  readonly receivedAt: Date
  /** The digits that stood behind the word PIN, until the text is answered. */
  readonly pin: string | null
}

export interface TextIn extends NewTextIn {
  readonly act: string | null
  readonly problem: string | null
  readonly effect: Effect | null
  readonly handledAt: Date | null
  /** Why it could not be answered before. */
  readonly trouble: string | null
}

const textInRow = z.object({
  id: z.string(),
  gateway: z.string(),
  key: z.string(),
  fromNumber: z.string(),
  toNumber: z.string(),
  body: z.string(),
  missingParts: z.int(),
  isBinary: z.boolean(),
  receivedAt: z.date(),
  pin: z.string().nullable(),
  act: z.string().nullable(),
  problem: z.string().nullable(),
  effect: effectShape.nullable(),
  handledAt: z.date().nullable(),
  trouble: z.string().nullable(),
})

/** Postgres holds no NUL in text, and phones do send it. */
const withoutNul = (text: string): string => text.replaceAll('\u0000', '')

/** Stores a text; false when the same one was stored before. */
export async function insertTextIn(db: Db, text: NewTextIn): Promise<boolean> {
  const data = {
    ...text,
    key: withoutNul(text.key),
    fromNumber: withoutNul(text.fromNumber),
    toNumber: withoutNul(text.toNumber),
    body: withoutNul(text.body),
  }
  return (await db.textIn.createMany({ data, skipDuplicates: true })).count === 1
}

const claimRows = statement('claim-text-in', z.object({ id: z.string() }))

/** Holds an unhandled text for the rest of the transaction; `undefined` when it is handled or held elsewhere. */
export async function claimTextIn(db: Db, id: string): Promise<TextIn | undefined> {
  if ((await claimRows(db, id)).length === 0) return undefined
  return textInRow.parse(await db.textIn.findUniqueOrThrow({ where: { id } }))
}

export interface Handling {
  readonly districtId: string | null
  readonly personId: string | null
  readonly lineId: string | null
  readonly act: string | null
  readonly problem: string | null
  readonly effect: Effect | null
  readonly handledAt: Date
}

export async function settleTextIn(db: Db, id: string, handling: Handling): Promise<void> {
  const { effect, ...rest } = handling
  await db.textIn.update({
    where: { id },
    data: { ...rest, pin: null, ...(effect === null ? {} : { effect }) },
  })
}

/** The newest text of a person that changed something and was not taken back. */
export async function findLastEffect(db: Db, personId: string): Promise<TextIn | undefined> {
  const row = await db.textIn.findFirst({
    where: { personId, undoneAt: null, effect: { not: 'DbNull' } },
    orderBy: [{ receivedAt: 'desc' }, { id: 'desc' }],
  })
  return row === null ? undefined : textInRow.parse(row)
}

export async function markUndone(db: Db, id: string, at: Date): Promise<void> {
  await db.textIn.update({ where: { id }, data: { undoneAt: at } })
}

const sameRows = statement('find-same-text-in', z.object({ body: z.string(), reply: z.string() }))

/**
 * What was answered to the same words of the same number, if they changed something that stands (since `since`), or
 * were an UNDO or a LATER of a moment ago, which a slow reply makes people send twice.
 */
export async function findReplyToSame(
  db: Db,
  text: TextIn,
  { since, justBefore }: { readonly since: Date; readonly justBefore: Date },
): Promise<string | undefined> {
  const rows = await sameRows(db, text.id, vaultOf(db).formsOf(text.fromNumber), since, justBefore)
  return rows.find(({ body }) => body === text.body)?.reply
}

/** The texts of a number before this one, newest first. */
export async function listTextsBefore(db: Db, text: TextIn, limit: number): Promise<TextIn[]> {
  const rows = await db.textIn.findMany({
    where: { fromNumber: text.fromNumber, id: { lt: text.id } },
    orderBy: { id: 'desc' },
    take: limit,
  })
  return rows.map((row) => textInRow.parse(row))
}

/** How many texts of a number could not be taken since `since`. */
export async function countProblems(db: Db, number: string, since: Date): Promise<number> {
  return db.textIn.count({
    where: {
      fromNumber: number,
      receivedAt: { gte: since },
      problem: { in: ['unknown-sender', 'not-understood', 'empty'] },
    },
  })
}

/** Whether we sent these very words to a number since `since`: an echo, or two machines talking. */
export async function isOwnText(db: Db, number: string, body: string, since: Date): Promise<boolean> {
  const sent = await db.textOut.findMany({
    where: { number, createdAt: { gte: since } },
    select: { body: true },
  })
  return sent.some((text) => text.body === body)
}

const idRow = z.object({ id: z.string() })
const unhandledRows = statement('list-unhandled-texts-in', idRow)

/** Texts received before `before` that nobody has handled, oldest first. */
export async function listUnhandledTextsIn(
  db: Db,
  { before, now }: { readonly before: Date; readonly now: Date },
  limit: number,
): Promise<string[]> {
  return (await unhandledRows(db, before, now, limit)).map((row) => row.id)
}

export type TextPurpose = 'reminder' | 'reply' | 'alert' | 'list'

/** A text to send. */
export interface NewTextOut {
  readonly id: string
  readonly districtId: string | null
  readonly number: string
  readonly body: string
  readonly purpose: TextPurpose
  readonly isUrgent: boolean
  readonly parts: number
  readonly inReplyTo: string | null
  readonly createdAt: Date
  readonly sendAt: Date
  readonly usefulUntil: Date | null
}

export interface TextOut extends NewTextOut {
  readonly status: string
  /** How often it was taken for sending. */
  readonly tries: number
  /** How often it was taken and its end not learned. */
  readonly doubts: number
}

/** Stores a text to send; `leaseUntil` set means that the caller is about to send it itself. */
export async function insertTextOut(db: Db, text: NewTextOut, leaseUntil: Date | null = null): Promise<void> {
  await db.textOut.create({
    data: {
      ...text,
      numberStart: numberStart(text.number),
      leaseUntil,
      status: leaseUntil === null ? 'waiting' : 'sending',
      tries: leaseUntil === null ? 0 : 1,
    },
  })
}

const textOutRow = z.object({
  id: z.string(),
  districtId: z.string().nullable(),
  number: z.string(),
  body: z.string(),
  purpose: z.enum(['reminder', 'reply', 'alert', 'list']),
  isUrgent: z.boolean(),
  parts: z.int(),
  inReplyTo: z.string().nullable(),
  createdAt: z.date(),
  sendAt: z.date(),
  usefulUntil: z.date().nullable(),
  status: z.string(),
  tries: z.int(),
  doubts: z.int(),
})
const claimOutRows = statement('claim-text-out', idRow)

export async function findTextOut(db: Db, id: string): Promise<TextOut | undefined> {
  const row = await db.textOut.findUnique({ where: { id } })
  return row === null ? undefined : textOutRow.parse(row)
}

/** Takes a waiting text for sending; `undefined` when another worker has it or it is gone. */
export async function claimTextOut(db: Db, id: string, leaseUntil: Date): Promise<TextOut | undefined> {
  if ((await claimOutRows(db, id, leaseUntil)).length === 0) return undefined
  return textOutRow.parse(await db.textOut.findUniqueOrThrow({ where: { id } }))
}

const waitingRows = statement(
  'list-waiting-texts-out',
  z.object({ id: z.string(), number: z.string(), is_urgent: z.boolean() }),
)

/** A waiting text and where it goes. */
export interface WaitingText {
  readonly id: string
  readonly number: string
  readonly isUrgent: boolean
}

/** Waiting texts whose time has come, urgent ones first. */
export async function listWaitingTextsOut(db: Db, now: Date, limit: number): Promise<WaitingText[]> {
  const rows = await waitingRows(db, now, limit)
  return rows.map((row) => ({ id: row.id, number: row.number, isUrgent: row.is_urgent }))
}

/** The text may have left: it goes back to waiting until `sendAt`, one doubt older. */
export async function doubtTextOut(db: Db, id: string, sendAt: Date, reason: string): Promise<void> {
  await db.textOut.update({
    where: { id },
    data: { status: 'waiting', sendAt, reason, leaseUntil: null, doubts: { increment: 1 } },
  })
}

/** The text goes back to waiting until `sendAt`. */
export async function postponeTextOut(db: Db, id: string, sendAt: Date, reason: string): Promise<void> {
  await db.textOut.update({ where: { id }, data: { status: 'waiting', sendAt, reason, leaseUntil: null } })
}

export type TextEnd = 'delivered' | 'undelivered' | 'unknown' | 'failed' | 'lapsed'

export interface Settlement {
  readonly status: TextEnd
  readonly reason: string | null
  readonly at: Date
}

/** The text is at its end; a later receipt may still correct `unknown`. */
export async function settleTextOut(db: Db, id: string, settlement: Settlement): Promise<void> {
  const { status, reason, at } = settlement
  await db.textOut.update({ where: { id }, data: { status, reason, settledAt: at, leaseUntil: null } })
}

export interface MessagePage {
  readonly districtId: string
  readonly afterId: string | null
  readonly limit: number
}

/** A keyset page of texts sent, newest first. */
export async function pageOfTextsOut(db: Db, page: MessagePage): Promise<TextOut[]> {
  const { districtId, afterId, limit } = page
  const rows = await db.textOut.findMany({
    where: { districtId, ...(afterId === null ? {} : { id: { lt: afterId } }) },
    orderBy: { id: 'desc' },
    take: limit,
  })
  return rows.map((row) => textOutRow.parse(row))
}

/** A text on the phone of a training district. */
export interface TextOfNumber {
  readonly at: Date
  readonly body: string
  readonly isFromPhone: boolean
}

const NEWEST = 100

/** The newest texts to and from a number in a district, oldest first. */
export async function listTextsOfNumber(db: Db, districtId: string, number: string): Promise<TextOfNumber[]> {
  const newest = { orderBy: { id: 'desc' }, take: NEWEST } as const
  const received = await db.textIn.findMany({ where: { districtId, fromNumber: number }, ...newest })
  const sent = await db.textOut.findMany({ where: { districtId, number }, ...newest })
  return [
    ...received.map(({ receivedAt: at, body, id }) => ({ at, body, id, isFromPhone: true })),
    ...sent.map(({ createdAt: at, body, id }) => ({ at, body, id, isFromPhone: false })),
  ]
    .sort((one, other) => one.id.localeCompare(other.id))
    .map(({ at, body, isFromPhone }) => ({ at, body, isFromPhone }))
}
