import { conditionFault } from './conditions.ts'
import type { ConditionFault, VialConditions } from './conditions.ts'
import { discardBy } from './discard-by.ts'
import type { DiscardBy, DiscardLimit, Opening } from './discard-by.ts'
import { useFor } from './product.ts'
import type { Product } from './product.ts'

/** An opened vial as it stands. */
export interface OpenVial {
  readonly product: Product
  readonly openedAt: Date
  readonly discardBy: DiscardBy
  /** Units drawn so far (`Product.unitsPerVial`). */
  readonly drawnUnits: number
  /** `null` while it is in use. */
  readonly discardedAt: Date | null
}

export type StopReason =
  ConditionFault | 'other-vaccine' | 'discarded' | 'expired' | 'session-over' | 'time-up' | 'used-up'

export type VialAnswer =
  | { readonly kind: 'use' }
  /** `sentence` is the key of the phrase that tells what to do. */
  | { readonly kind: 'stop'; readonly reason: StopReason; readonly sentence: `vial-stop-${StopReason}` }

const stop = (reason: StopReason): VialAnswer => ({
  kind: 'stop',
  reason,
  sentence: `vial-stop-${reason}`,
})

const REASON_OF_LIMIT: Readonly<Record<DiscardLimit, StopReason>> = {
  expiry: 'expired',
  'session-end': 'session-over',
  'open-days': 'time-up',
  'open-hours': 'time-up',
}

/** Whether a vial that is about to be opened may be. */
export function mayOpen(opening: Opening): VialAnswer {
  const { product, conditions, openedAt } = opening
  // Of all limits only expiry can lie before the opening.
  if (openedAt > discardBy(opening).at) return stop('expired')
  const fault = conditions === null ? undefined : conditionFault(product, conditions, 'opening')
  return fault === undefined ? { kind: 'use' } : stop(fault)
}

/** Units that are still in the vial; never below zero. */
export function unitsLeft(vial: OpenVial): number {
  return Math.max(0, vial.product.unitsPerVial - vial.drawnUnits)
}

/** Whether one dose of a vaccine may be drawn from a vial at an instant, conditions being as answered just now. */
export function mayUse(vial: OpenVial, vaccine: string, at: Date, conditions: VialConditions): VialAnswer {
  const use = useFor(vial.product, vaccine)
  if (use === undefined) return stop('other-vaccine')
  if (vial.discardedAt !== null && vial.discardedAt <= at) return stop('discarded')
  if (at > vial.discardBy.at) return stop(REASON_OF_LIMIT[vial.discardBy.because])
  const fault = conditionFault(vial.product, conditions, 'reuse')
  if (fault !== undefined) return stop(fault)
  return unitsLeft(vial) < use.unitsPerDose ? stop('used-up') : { kind: 'use' }
}
