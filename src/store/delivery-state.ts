import { z } from 'zod'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

const stateRow = z.object({
  due: z.int(),
  oldest_due_at: z.date().nullable(),
  waiting: z.int(),
  sending: z.int(),
  unread: z.int(),
  parked: z.int(),
  receipt_seconds: z.number().nullable(),
  without_receipt: z.int(),
  hand_over_seconds: z.number().nullable(),
})
const stateRows = statement('read-delivery-state', stateRow)

/** How delivery stands at a moment. */
export interface DeliveryState {
  /** Reminders that are due and not taken yet, and since when the oldest of them is. */
  readonly due: number
  readonly oldestDueAt: Date | null
  /** Texts that wait for another try, or for their turn. */
  readonly waiting: number
  readonly sending: number
  /** Texts in that nobody has answered yet, and those put aside; of all districts, for a sender may be nobody's. */
  readonly unread: number
  readonly parked: number
  /** Medians of the last quarter of an hour, in seconds; null where nothing happened. */
  readonly receiptSeconds: number | null
  readonly handOverSeconds: number | null
  /** Of the texts handed over in that time, those without a word from the network. */
  readonly withoutReceipt: number
}

const LATELY_MS = 15 * 60_000

/** How delivery stands, in one district or (null) in all. */
export async function readDeliveryState(
  db: Db,
  districtId: string | null,
  now: Date,
): Promise<DeliveryState> {
  const [row] = await stateRows(db, districtId, now, new Date(now.getTime() - LATELY_MS))
  if (row === undefined) throw new Error('sums have one row')
  return {
    due: row.due,
    oldestDueAt: row.oldest_due_at,
    waiting: row.waiting,
    sending: row.sending,
    unread: row.unread,
    parked: row.parked,
    receiptSeconds: row.receipt_seconds,
    handOverSeconds: row.hand_over_seconds,
    withoutReceipt: row.without_receipt,
  }
}
