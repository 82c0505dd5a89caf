import type { District } from '../../core/model.ts'
import { nominalDoses, useFor } from '../../core/vials/product.ts'
import { foldStock } from '../../core/vials/stock-ledger.ts'
import type { StockBalance, StockEvent } from '../../core/vials/stock-ledger.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { insertStockEntries, listStockEntries } from '../../store/stock.ts'
import type { StockEntry } from '../../store/stock.ts'
import { listVialsOpened } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { productFor, productOf, vialsNow } from '../vials/vial-shelf.ts'

export interface StockCounted {
  readonly district: District
  readonly postId: string
  readonly counts: readonly {
    readonly vaccine: string
    readonly count: number
    readonly unit: 'vials' | 'doses'
  }[]
  readonly at: Date
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd'
  readonly textInId: string | null
}

/** Stores what a post counted in its store; doses are whole vials, rounded down. Answers the entries. */
export async function countStock(tx: Transaction, deps: Deps, counted: StockCounted): Promise<StockEntry[]> {
  const { district, postId, counts, at, by, via, textInId } = counted
  const entries = counts.map(({ vaccine, count, unit }) => {
    const product = productFor(deps.shelf, district, vaccine)
    const use = useFor(product, vaccine)
    const size = unit === 'vials' || use === undefined ? 1 : nominalDoses(product, use)
    return {
      id: deps.newId(),
      districtId: district.id,
      postId,
      vaccine,
      product: product.code,
      lot: null,
      kind: 'counted' as const,
      vials: Math.floor(count / size),
      reason: null,
      happenedAt: at,
    }
  })
  await insertStockEntries(
    tx,
    entries.map((entry) => ({ ...entry, notedBy: by, notedVia: via, textInId })),
  )
  return entries
}

function eventOf({ kind, vials, reason, happenedAt: at }: StockEntry): StockEvent {
  return kind === 'discarded-closed' ? { at, kind, vials, reason: reason ?? 'broken' } : { at, kind, vials }
}

/** The ledger of each presentation at a post; presentations without an entry have none. */
export async function stockAt(
  db: Db,
  deps: Deps,
  { district, postId }: { readonly district: District; readonly postId: string },
): Promise<ReadonlyMap<string, StockBalance>> {
  const entries = await listStockEntries(db, postId)
  const opened = await listVialsOpened(db, district.id, new Date(0), deps.clock.now())
  const vials = await vialsNow(
    db,
    deps.shelf,
    opened.filter((vial) => vial.postId === postId),
  )
  return new Map(
    [...new Set(entries.map(({ product }) => product))].map((code): [string, StockBalance] => {
      const own = entries.filter(({ product }) => product === code)
      const events: StockEvent[] = own.map(eventOf)
      for (const { vial, open } of vials.filter((each) => each.vial.product === code)) {
        events.push({ at: vial.openedAt, kind: 'opened', vial: vial.id, from: 'store' })
        if (open.drawnUnits > 0)
          events.push({ at: vial.openedAt, kind: 'drawn', vial: vial.id, units: open.drawnUnits })
        if (vial.discardedAt !== null && vial.discardReason !== null)
          events.push({ at: vial.discardedAt, kind: 'discarded', vial: vial.id, reason: vial.discardReason })
      }
      const { unitsPerVial } = productOf(deps.shelf, { product: code, vaccine: own[0]?.vaccine ?? '' })
      return [code, foldStock(unitsPerVial, events)]
    }),
  )
}
