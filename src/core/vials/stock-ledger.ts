import type { DiscardReason } from './discard-reason.ts'

/**
 * The ledger of one product at one place, or of one lot of it. Closed vials are in the store or out at a session; an opened
 * vial is counted in units from then on. Events may be reported in any order: they are taken by their time, those of
 * one instant in the order in which they are given, which has to be the one in which they were noted.
 */

export type StockEvent = { readonly at: Date } & (
  | { readonly kind: 'opening-balance' | 'received' | 'sent'; readonly vials: number }
  | { readonly kind: 'taken-out' | 'brought-back'; readonly vials: number }
  /** `null`: one of those that were out at a session, where any were, else from the store. */
  | { readonly kind: 'opened'; readonly vial: string; readonly from: 'store' | 'out' | null }
  | { readonly kind: 'drawn'; readonly vial: string; readonly units: number }
  | { readonly kind: 'discarded'; readonly vial: string; readonly reason: DiscardReason }
  | { readonly kind: 'discarded-closed'; readonly vials: number; readonly reason: DiscardReason }
  /** The store as counted by hand; what the ledger said becomes a correction. */
  | { readonly kind: 'counted'; readonly vials: number }
  /** What a count of one lot found beyond what its ledger said; below zero: what it missed. */
  | { readonly kind: 'corrected'; readonly vials: number }
)

/** Units of one opened vial: its content = left + given + wasted. */
export interface VialBalance {
  readonly leftUnits: number
  readonly givenUnits: number
  readonly wastedUnits: number
  /** Units reported as drawn that the vial cannot have held; they are flagged and stand outside the balance. */
  readonly overdrawnUnits: number
  /** `null` while it is in use. */
  readonly discardedFor: DiscardReason | null
}

/** What does not add up; the event is kept and the figures say what they say, also below zero. */
export interface StockFlag {
  readonly kind:
    | 'store-short'
    | 'out-short'
    | 'vial-unknown'
    | 'vial-opened-twice'
    | 'vial-overdrawn'
    | 'vial-already-discarded'
  readonly at: Date
}

/** Vials brought in (less those sent on) + corrections = in store + out + opened + thrown away closed. */
export interface StockBalance {
  readonly broughtInVials: number
  readonly correctedVials: number
  readonly storeVials: number
  readonly outVials: number
  readonly closedWasteVials: Readonly<Partial<Record<DiscardReason, number>>>
  readonly openedVials: ReadonlyMap<string, VialBalance>
  readonly flags: readonly StockFlag[]
}

/** The balance while it is being built; it does not leave this file as such. */
interface Draft {
  broughtInVials: number
  correctedVials: number
  storeVials: number
  outVials: number
  closedWasteVials: Partial<Record<DiscardReason, number>>
  openedVials: Map<string, VialBalance>
  flags: StockFlag[]
}

/** By time; of one instant, as they are given: a sort keeps equals in their order. */
export function inOrder<Event extends StockEvent>(events: readonly Event[]): Event[] {
  return [...events].sort((a, b) => a.at.getTime() - b.at.getTime())
}

/** Draws from a vial; after a discard it holds nothing, so all of a draw is too much. */
function drawn(vial: VialBalance, units: number): VialBalance {
  const givenUnits = Math.min(units, vial.leftUnits)
  return {
    ...vial,
    leftUnits: vial.leftUnits - givenUnits,
    givenUnits: vial.givenUnits + givenUnits,
    overdrawnUnits: vial.overdrawnUnits + units - givenUnits,
  }
}

function discarded(vial: VialBalance, reason: DiscardReason): VialBalance {
  return { ...vial, leftUnits: 0, wastedUnits: vial.leftUnits, discardedFor: reason }
}

type OfVial = Extract<StockEvent, { kind: 'opened' | 'drawn' | 'discarded' }>

/** The vial after an event, or what is wrong with the event. */
function stepVial(
  vial: VialBalance | undefined,
  event: OfVial,
  unitsPerVial: number,
): VialBalance | StockFlag['kind'] {
  if (event.kind === 'opened') {
    if (vial !== undefined) return 'vial-opened-twice'
    return { leftUnits: unitsPerVial, givenUnits: 0, wastedUnits: 0, overdrawnUnits: 0, discardedFor: null }
  }
  if (vial === undefined) return 'vial-unknown'
  if (event.kind === 'drawn') return drawn(vial, event.units)
  return vial.discardedFor === null ? discarded(vial, event.reason) : 'vial-already-discarded'
}

function applyToVial(draft: Draft, event: OfVial, unitsPerVial: number): void {
  const before = draft.openedVials.get(event.vial)
  const after = stepVial(before, event, unitsPerVial)
  if (typeof after === 'string') {
    draft.flags.push({ kind: after, at: event.at })
    return
  }
  draft.openedVials.set(event.vial, after)
  if (event.kind === 'opened') {
    const from = event.from ?? (draft.outVials > 0 ? 'out' : 'store')
    draft[from === 'store' ? 'storeVials' : 'outVials'] -= 1
  }
  if (after.overdrawnUnits > (before?.overdrawnUnits ?? 0))
    draft.flags.push({ kind: 'vial-overdrawn', at: event.at })
}

function applyToStore(draft: Draft, event: Exclude<StockEvent, OfVial>): void {
  const { vials } = event
  switch (event.kind) {
    case 'opening-balance':
    case 'received':
      draft.broughtInVials += vials
      draft.storeVials += vials
      break
    case 'sent':
      draft.broughtInVials -= vials
      draft.storeVials -= vials
      break
    case 'taken-out':
      draft.storeVials -= vials
      draft.outVials += vials
      break
    case 'brought-back':
      draft.outVials -= vials
      draft.storeVials += vials
      break
    case 'discarded-closed':
      draft.storeVials -= vials
      draft.closedWasteVials[event.reason] = (draft.closedWasteVials[event.reason] ?? 0) + vials
      break
    case 'counted':
      draft.correctedVials += vials - draft.storeVials
      draft.storeVials = vials
      break
    case 'corrected':
      draft.correctedVials += vials
      draft.storeVials += vials
  }
}

/** Flags an event that takes more vials than there are. */
function flagShortages(draft: Draft, before: Readonly<Draft>, at: Date): void {
  if (draft.storeVials < Math.min(0, before.storeVials)) draft.flags.push({ kind: 'store-short', at })
  if (draft.outVials < Math.min(0, before.outVials)) draft.flags.push({ kind: 'out-short', at })
}

/** Adds up a ledger. Every event counts once; what cannot be true is flagged, never dropped or clamped. */
export function foldStock(unitsPerVial: number, events: readonly StockEvent[]): StockBalance {
  const draft: Draft = {
    broughtInVials: 0,
    correctedVials: 0,
    storeVials: 0,
    outVials: 0,
    closedWasteVials: {},
    openedVials: new Map(),
    flags: [],
  }
  for (const event of inOrder(events)) {
    const before = { ...draft }
    if (event.kind === 'opened' || event.kind === 'drawn' || event.kind === 'discarded')
      applyToVial(draft, event, unitsPerVial)
    else applyToStore(draft, event)
    flagShortages(draft, before, event.at)
  }
  return draft
}

/** A ledger in vials: brought in + corrected = in store + out at a session + opened + closed waste. */
export interface VialLedger {
  readonly broughtIn: number
  readonly corrected: number
  readonly inStore: number
  readonly out: number
  readonly opened: number
  readonly closedWaste: number
}

export function ledgerInVials(balance: StockBalance): VialLedger {
  const waste = Object.values(balance.closedWasteVials)
  return {
    broughtIn: balance.broughtInVials,
    corrected: balance.correctedVials,
    inStore: balance.storeVials,
    out: balance.outVials,
    opened: balance.openedVials.size,
    closedWaste: waste.reduce((sum, vials) => sum + vials, 0),
  }
}
