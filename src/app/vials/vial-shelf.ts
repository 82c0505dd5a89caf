import type { Day } from '../../core/days/day.ts'
import type { District } from '../../core/model.ts'
import { productInUse, unlistedProduct, useFor } from '../../core/vials/product.ts'
import type { Product } from '../../core/vials/product.ts'
import { policyOn } from '../../core/vials/vial-policy.ts'
import type { VialPolicy } from '../../core/vials/vial-policy.ts'
import { asOpenVial } from '../../core/vials/vial.ts'
import type { Vial } from '../../core/vials/vial.ts'
import type { OpenVial } from '../../core/vials/open-vial.ts'
import type { Db } from '../../store/database.ts'
import { countDraws } from '../../store/vials.ts'
import type { Shelf } from '../shelf.ts'

/** The presentation in which a district has a vaccine. */
export function productFor(
  { products }: Shelf,
  district: Pick<District, 'products'>,
  vaccine: string,
): Product {
  return productInUse(products, district.products, vaccine)
}

/** The presentation of a vial on record. */
export function productOf(
  { products }: Shelf,
  { product, vaccine }: Pick<Vial, 'product' | 'vaccine'>,
): Product {
  return products.find(({ code }) => code === product) ?? unlistedProduct(vaccine)
}

/** The district's policy as it is on a day; before its first version, that one. */
export function vialPolicyOn(
  { vialPolicies }: Shelf,
  { vialPolicy }: Pick<District, 'vialPolicy'>,
  day: Day,
): VialPolicy {
  const policy =
    policyOn(vialPolicies, vialPolicy, day) ?? vialPolicies.find(({ code }) => code === vialPolicy)
  if (policy === undefined) throw new Error(`the policy on opened vials ${vialPolicy} is missing`)
  return policy
}

/** A vial on record with what was drawn from it. */
export interface VialNow {
  readonly vial: Vial
  readonly open: OpenVial
}

/** Vials as they stand, doses drawn counted. */
export async function vialsNow(db: Db, shelf: Shelf, vials: readonly Vial[]): Promise<readonly VialNow[]> {
  const draws = await countDraws(
    db,
    vials.map(({ id }) => id),
  )
  return vials.map((vial) => {
    const product = productOf(shelf, vial)
    const drawn = [...(draws.get(vial.id) ?? [])]
    const units = drawn.reduce(
      (sum, [vaccine, doses]) => sum + doses * (useFor(product, vaccine)?.unitsPerDose ?? 1),
      0,
    )
    return { vial, open: asOpenVial(vial, product, units) }
  })
}

/** One vial as it stands. */
export async function vialNow(db: Db, shelf: Shelf, vial: Vial): Promise<VialNow> {
  const [now] = await vialsNow(db, shelf, [vial])
  if (now === undefined) throw new Error('a vial that is looked at is there')
  return now
}
