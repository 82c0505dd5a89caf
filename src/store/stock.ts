import type { DiscardReason } from '../core/vials/discard-reason.ts'
import type { StockEvent } from '../core/vials/stock-ledger.ts'
import type { Db } from './database.ts'

export type StockKind = Exclude<StockEvent['kind'], 'opened' | 'drawn' | 'discarded' | 'corrected'>

/** One entry of the ledger of closed vials. */
export interface StockEntry {
  readonly id: string
  readonly districtId: string
  readonly postId: string
  readonly vaccine: string
  readonly product: string
  readonly lot: string | null
  readonly kind: StockKind
  readonly vials: number
  readonly reason: DiscardReason | null
  readonly happenedAt: Date
}

export interface NewStockEntry extends StockEntry {
  readonly notedBy: string
  readonly notedVia: string
  readonly textInId: string | null
}

export async function insertStockEntries(db: Db, entries: readonly NewStockEntry[]): Promise<void> {
  await db.stockEntry.createMany({ data: [...entries] })
}

export async function voidStockEntry(db: Db, id: string, at: Date): Promise<void> {
  await db.stockEntry.update({ where: { id }, data: { voidedAt: at } })
}

/** The entries of a post, in order of time. */
export async function listStockEntries(db: Db, postId: string): Promise<StockEntry[]> {
  const rows = await db.stockEntry.findMany({
    where: { postId, voidedAt: null },
    orderBy: [{ happenedAt: 'asc' }, { id: 'asc' }],
  })
  // The table's checks allow only these values.
  return rows.map((row) => ({
    ...row,
    kind: row.kind as StockKind,
    reason: row.reason as DiscardReason | null,
  }))
}
