import type { District } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { CLOSED_DISCARD_REASONS } from '../../core/vials/discard-reason.ts'
import type { ClosedDiscardReason } from '../../core/vials/discard-reason.ts'
import { nominalDoses, useFor } from '../../core/vials/product.ts'
import type { Product } from '../../core/vials/product.ts'
import { ledgersByLot, withoutLots } from '../../core/vials/stock-by-lot.ts'
import type { LotEvent, LotLedger } from '../../core/vials/stock-by-lot.ts'
import { foldStock } from '../../core/vials/stock-ledger.ts'
import type { StockBalance, StockEvent } from '../../core/vials/stock-ledger.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { insertStockEntries, listStockEntries } from '../../store/stock.ts'
import type { StockEntry } from '../../store/stock.ts'
import { listVialsOpened } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { productFor, productOf, vialsNow } from '../vials/vial-shelf.ts'
import type { VialNow } from '../vials/vial-shelf.ts'

export interface StockCounted {
  readonly district: District
  readonly postId: string
  readonly counts: readonly {
    readonly vaccine: string
    readonly count: number
    readonly unit: 'vials' | 'doses'
    /** Left out: counted. */
    readonly kind?: 'received' | 'discarded-closed' | 'counted' | 'taken-out' | 'brought-back'
    /** As on the carton; left out where it was not told. */
    readonly lot?: string | undefined
  }[]
  /** Of vials thrown away closed; nothing else has one. */
  readonly reason: ClosedDiscardReason | null
  readonly at: Date
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd'
  readonly textInId: string | null
}

/**
 * Stores what a post counted in its store, received, threw away closed, carried to a session or brought back; doses
 * are whole vials, rounded down. Answers the entries.
 * @throws {Refusal} discard-reason-missing
 */
export async function countStock(tx: Transaction, deps: Deps, counted: StockCounted): Promise<StockEntry[]> {
  const { district, postId, counts, reason, at, by, via, textInId } = counted
  const entries = counts.map(({ vaccine, count, unit, lot, kind = 'counted' }) => {
    const isWaste = kind === 'discarded-closed'
    if (isWaste && reason === null)
      throw new Refusal('discard-reason-missing', `Say why: ${CLOSED_DISCARD_REASONS.join(', ')}.`)
    const product = productFor(deps.shelf, district, vaccine)
    const use = useFor(product, vaccine)
    const size = unit === 'vials' || use === undefined ? 1 : nominalDoses(product, use)
    return {
      id: deps.newId(),
      districtId: district.id,
      postId,
      vaccine,
      product: product.code,
      lot: lot?.toLocaleUpperCase('en') ?? null,
      kind,
      vials: Math.floor(count / size),
      reason: isWaste ? reason : null,
      happenedAt: at,
    }
  })
  await insertStockEntries(
    tx,
    entries.map((entry) => ({ ...entry, notedBy: by, notedVia: via, textInId })),
  )
  return entries
}

/** What was noted under one id; ids grow in the order in which things are noted. */
interface Noted {
  readonly id: string
  readonly events: readonly LotEvent[]
}

function entryNoted({ id, kind, vials, lot, reason, happenedAt: at }: StockEntry): Noted {
  const event: LotEvent =
    kind === 'discarded-closed'
      ? { at, lot, kind, vials, reason: reason ?? 'broken' }
      : { at, lot, kind, vials }
  return { id, events: [event] }
}

function vialNoted({ vial, open: { drawnUnits } }: VialNow): Noted {
  const { id, lot, openedAt, discardedAt, discardReason } = vial
  const events: LotEvent[] = [{ at: openedAt, lot, kind: 'opened', vial: id, from: null }]
  if (drawnUnits > 0) events.push({ at: openedAt, lot, kind: 'drawn', vial: id, units: drawnUnits })
  if (discardedAt !== null && discardReason !== null)
    events.push({ at: discardedAt, lot, kind: 'discarded', vial: id, reason: discardReason })
  return { id, events }
}

/** What was noted of one presentation at a post, in the order in which it was noted. */
export interface StockNotes {
  readonly product: Product
  /** Of all lots together. */
  readonly events: readonly StockEvent[]
  readonly lots: readonly LotLedger[]
}

/** What a post has of one presentation, and of each lot of it. */
export interface PostStock extends StockBalance {
  readonly lots: readonly LotLedger[]
}

interface StockPlace {
  readonly district: District
  readonly postId: string
}

/** Presentations with an entry at a post, by their code, each with its opened vials. */
export async function stockNotesAt(
  db: Db,
  deps: Deps,
  { district, postId }: StockPlace,
): Promise<ReadonlyMap<string, StockNotes>> {
  const entries = await listStockEntries(db, postId)
  const opened = await listVialsOpened(db, district.id, new Date(0), deps.clock.now())
  const vials = await vialsNow(
    db,
    deps.shelf,
    opened.filter((vial) => vial.postId === postId),
  )
  return new Map(
    [...new Set(entries.map(({ product }) => product))].map((code): [string, StockNotes] => {
      const own = entries.filter(({ product }) => product === code)
      const ownVials = vials.filter(({ vial }) => vial.product === code)
      const noted = [...own.map(entryNoted), ...ownVials.map(vialNoted)].sort((a, b) =>
        a.id < b.id ? -1 : 1,
      )
      const product = productOf(deps.shelf, { product: code, vaccine: own[0]?.vaccine ?? '' })
      const events = noted.flatMap((each) => each.events)
      return [code, { product, events: withoutLots(events), lots: ledgersByLot(events) }]
    }),
  )
}

/** The ledger of each presentation at a post; presentations without an entry have none. */
export async function stockAt(
  db: Db,
  deps: Deps,
  place: StockPlace,
): Promise<ReadonlyMap<string, PostStock>> {
  const notes = await stockNotesAt(db, deps, place)
  return new Map(
    [...notes].map(([code, { product, events, lots }]) => [
      code,
      { ...foldStock(product.unitsPerVial, events), lots },
    ]),
  )
}
