import { unitsLeft } from '../vials/open-vial.ts'
import type { OpenVial } from '../vials/open-vial.ts'
import { openVialWastage } from './wastage.ts'
import type { Wastage } from './wastage.ts'

/** What came of the opened vials of one vaccine; counted in units of the vial (`Product.unitsPerVial`). */
export interface VialWaste {
  readonly vaccine: string
  readonly vials: number
  readonly heldUnits: number
  readonly givenUnits: number
  readonly wastage: Wastage
}

/** A vial that no dose can come from any more: thrown away, used up, or past its time. */
function isOver(vial: OpenVial, at: Date): boolean {
  return vial.discardedAt !== null || unitsLeft(vial) === 0 || at > vial.discardBy.at
}

/**
 * Open-vial wastage by vaccine: what the vials held less what was given, over what they held (WHO indicator I41, in
 * doses). Vials still in use have wasted nothing yet and are left out.
 */
export function vialWaste(
  vials: readonly { readonly vaccine: string; readonly open: OpenVial }[],
  at: Date,
): readonly VialWaste[] {
  const byVaccine = new Map<string, OpenVial[]>()
  for (const { vaccine, open } of vials)
    if (isOver(open, at)) byVaccine.set(vaccine, [...(byVaccine.get(vaccine) ?? []), open])
  return [...byVaccine]
    .map(([vaccine, all]) => {
      const heldUnits = all.reduce((sum, { product }) => sum + product.unitsPerVial, 0)
      const givenUnits = all.reduce((sum, { drawnUnits }) => sum + drawnUnits, 0)
      return {
        vaccine,
        vials: all.length,
        heldUnits,
        givenUnits,
        wastage: openVialWastage(heldUnits, givenUnits),
      }
    })
    .sort((a, b) => (a.vaccine < b.vaccine ? -1 : 1))
}
