import { z } from 'zod'
import type { Day } from '../days/day.ts'
import type { DiscardBy } from './discard-by.ts'
import type { DiscardReason } from './discard-reason.ts'
import type { OpenVial } from './open-vial.ts'
import type { Product } from './product.ts'

/** What is asked of a vial, as it comes in and is stored. */
export const vialConditions = z.object({
  isKeptCold: z.boolean(),
  isNeverFrozen: z.boolean(),
  isStopperDry: z.boolean(),
  isClean: z.boolean(),
  monitorStage: z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]).nullable(),
})

/** An opened vial on record. */
export interface Vial {
  readonly id: string
  readonly districtId: string
  readonly postId: string | null
  /** Short, for writing on the vial and typing; unique in the district. */
  readonly number: number
  /** As it was reported; a vial may serve others too (`Product.uses`). */
  readonly vaccine: string
  /** Code of its presentation. */
  readonly product: string
  readonly lot: string
  readonly maker: string | null
  readonly expiryOn: Day
  readonly openedAt: Date
  readonly openedBy: string
  readonly discardBy: DiscardBy
  readonly discardedAt: Date | null
  readonly discardReason: DiscardReason | null
}

/** A vial on record as the rules see it. */
export function asOpenVial(vial: Vial, product: Product, drawnUnits: number): OpenVial {
  const { openedAt, discardBy, discardedAt } = vial
  return { product, openedAt, discardBy, drawnUnits, discardedAt }
}
