import { foldStock } from '../vials/stock-ledger.ts'
import type { StockBalance, StockEvent } from '../vials/stock-ledger.ts'

/** What came of the store of one presentation within a span of time, in vials. */
export interface StockOver {
  /** At hand at its start; where the first count falls into it, what that found. */
  readonly openingVials: number
  readonly receivedVials: number
  readonly closedWasteVials: StockBalance['closedWasteVials']
  /** Whether the post stood at none at its start or at any time in it. */
  readonly wasOut: boolean
}

/** The store from one instant to another, both included; `undefined`: nothing was noted until its end. */
export function stockOver(
  events: readonly StockEvent[],
  { from, until }: { readonly from: Date; readonly until: Date },
): StockOver | undefined {
  const known = sinceFirstEntry(events).filter(({ at }) => at <= until)
  const [first] = known
  if (first === undefined) return undefined
  const isOpening = first.kind === 'counted' || first.kind === 'opening-balance' || first.kind === 'corrected'
  const before = known.filter((event) => event.at < from || (isOpening && event === first))
  const within = known.slice(before.length)
  const openingVials = storeOf(before)
  const levels = within.map((_, place) => storeOf(known.slice(0, before.length + place + 1)))
  return {
    openingVials,
    receivedVials: within.reduce((sum, event) => sum + (event.kind === 'received' ? event.vials : 0), 0),
    closedWasteVials: foldStock(1, within).closedWasteVials,
    wasOut: (before.length === 0 ? levels : [openingVials, ...levels]).some((vials) => vials <= 0),
  }
}

/** In order of time; vials opened before anything was noted of the store say nothing about it. */
function sinceFirstEntry(events: readonly StockEvent[]): readonly StockEvent[] {
  const inOrder = [...events].sort((a, b) => a.at.getTime() - b.at.getTime())
  const first = inOrder.findIndex(({ kind }) => kind !== 'opened' && kind !== 'drawn' && kind !== 'discarded')
  return first === -1 ? [] : inOrder.slice(first)
}

/** Closed vials of a post, those out at a session included; a vial's size does not bear on it. */
function storeOf(events: readonly StockEvent[]): number {
  const { storeVials, outVials } = foldStock(1, events)
  return storeVials + outVials
}
