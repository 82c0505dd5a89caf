import { foldStock, inOrder, ledgerInVials } from './stock-ledger.ts'
import type { StockEvent, VialLedger } from './stock-ledger.ts'

/** An event of which the lot may be known. */
export type LotEvent = StockEvent & { readonly lot: string | null }

/** The ledger of one lot at one place; `null`: vials of which no lot was told. */
export interface LotLedger extends VialLedger {
  readonly lot: string | null
}

/** Lots that came in or were counted by name; a vial of any other lot came from those without a name. */
function namedLots(events: readonly LotEvent[]): readonly string[] {
  const named = events.filter(({ kind }) => kind !== 'opened' && kind !== 'drawn' && kind !== 'discarded')
  return [...new Set(named.flatMap(({ lot }) => lot ?? []))].sort()
}

/** The events as the whole place has them: the count of one lot corrects the store by what it found. */
export function withoutLots(events: readonly LotEvent[]): StockEvent[] {
  const inTime = inOrder(events)
  return inTime.map((event, place) => {
    if (event.kind !== 'counted' || event.lot === null) return event
    const earlier = inTime.slice(0, place)
    const before = earlier.filter(({ lot }) => lot === event.lot)
    const found = event.vials - foldStock(1, before).storeVials
    // Vials counted under a lot for the first time were there before, without its name.
    const nameless = before.length === 0 ? Math.max(0, namelessIn(earlier)) : 0
    return { at: event.at, kind: 'corrected', vials: found - Math.min(Math.max(0, found), nameless) }
  })
}

/** Vials in store of which no lot was told. */
function namelessIn(events: readonly LotEvent[]): number {
  const named = namedLots(events).map(
    (lot) =>
      foldStock(
        1,
        events.filter((event) => event.lot === lot),
      ).storeVials,
  )
  return named.reduce((rest, vials) => rest - vials, foldStock(1, withoutLots(events)).storeVials)
}

/**
 * What is left of each lot, of named ones first; all together they are the ledger of the place. Where nothing is
 * known of any lot there is one ledger without a name.
 */
export function ledgersByLot(events: readonly LotEvent[]): readonly LotLedger[] {
  const named = namedLots(events).map((lot): LotLedger => {
    const own = events.filter((event) => event.lot === lot)
    return { lot, ...ledgerInVials(foldStock(1, own)) }
  })
  const rest = named.reduce(less, ledgerInVials(foldStock(1, withoutLots(events))))
  const isNothing = Object.values(rest).every((vials) => vials === 0)
  return isNothing ? named : [...named, { lot: null, ...rest }]
}

function less(whole: VialLedger, part: VialLedger): VialLedger {
  return {
    broughtIn: whole.broughtIn - part.broughtIn,
    corrected: whole.corrected - part.corrected,
    inStore: whole.inStore - part.inStore,
    out: whole.out - part.out,
    opened: whole.opened - part.opened,
    closedWaste: whole.closedWaste - part.closedWaste,
  }
}
