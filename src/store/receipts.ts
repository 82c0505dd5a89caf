import { z } from 'zod'
import type { Db } from './database.ts'
import { hold } from './hold.ts'
import { statement } from './statements.ts'

export interface NewReceipt {
  readonly id: string
  readonly gateway: string
  readonly providerId: string
  readonly state: string
  readonly reason: string | null
  readonly happenedAt: Date | null
  readonly receivedAt: Date
}

/** Stores a receipt, after or before whoever is just learning the id it speaks of. */
export async function insertReceipt(db: Db, receipt: NewReceipt): Promise<void> {
  await holdProviderIds(db, receipt.gateway, [receipt.providerId])
  await db.receipt.create({ data: receipt })
}

/**
 * Lets a receipt and the answer that makes its id known come one after the other, so that the later of the two finds
 * the earlier.
 */
export function holdProviderIds(db: Db, gateway: string, providerIds: readonly string[]): Promise<void> {
  return hold(
    db,
    providerIds.map((id) => `receipt ${gateway} ${id}`),
  )
}

const matchedRow = z.object({
  text_out_id: z.string(),
  states: z.array(z.string().nullable()),
  reason: z.string().nullable(),
})
const matchRows = statement('match-receipts', matchedRow)

export interface MatchedText {
  readonly textOutId: string
  /** One state for each part, null where the network has not spoken. */
  readonly states: readonly (string | null)[]
  readonly reason: string | null
}

/**
 * Joins stored receipts of these ids to the parts they speak of, in whatever order both came;
 * answers each text that learned something.
 */
export async function matchReceipts(
  db: Db,
  gateway: string,
  providerIds: readonly string[],
): Promise<MatchedText[]> {
  const rows = await matchRows(db, gateway, [...providerIds])
  return rows.map((row) => ({ textOutId: row.text_out_id, states: row.states, reason: row.reason }))
}

/** A network that said nothing for so long says nothing any more. */
const SILENT_MS = 72 * 3_600_000

/** The parts handed over lately of which no end is known, as the gateway calls them. */
export async function openProviderIds(db: Db, gateway: string, now: Date): Promise<string[]> {
  const rows = await db.textPart.findMany({
    where: {
      gateway,
      createdAt: { gte: new Date(now.getTime() - SILENT_MS) },
      textOut: { status: 'handed' },
      OR: [{ state: null }, { state: { notIn: ['delivered', 'undelivered'] } }],
    },
    select: { providerId: true },
  })
  return rows.map((row) => row.providerId)
}
