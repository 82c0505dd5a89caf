import { useFor, vialSize } from '../vials/product.ts'
import type { Product } from '../vials/product.ts'
import type { SupplyPlanning } from './supply-planning.ts'

/** What to take along of one vaccine. */
export interface CarryItem {
  readonly vaccine: string
  readonly product: Product
  readonly vials: number
  /** Children expected for it. */
  readonly doses: number
}

/**
 * The vials to carry, in a form that is the same in every language; a vial that serves several vaccines is named
 * with its size.
 * @example // '3 BOPV, 2 FIPV(5)'
 */
export function carryList(items: readonly CarryItem[]): string {
  return items
    .filter(({ vials }) => vials > 0)
    .map(({ vaccine, product, vials }) => {
      const size = product.uses.length > 1 ? `(${vialSize(product)})` : ''
      return `${vials} ${vaccine}${size}`
    })
    .join(', ')
}

export interface Materials {
  /** Auto-disable syringes by volume in mL. */
  readonly syringes: readonly { readonly ml: number; readonly count: number }[]
  /** Each dry vial needs its own diluent and a syringe to mix it. */
  readonly diluents: number
  readonly safetyBoxes: number
}

/** In a form that is the same in every language. @example // '24 x 0.5 ml, 10 x 0.05 ml' */
export function syringesInFigures({ syringes }: Pick<Materials, 'syringes'>): string {
  return syringes.map(({ ml, count }) => `${count} x ${ml} ml`).join(', ')
}

/** What else to take along: a syringe for each dose injected, diluents, boxes for what was used. */
export function materialsFor(items: readonly CarryItem[], planning: SupplyPlanning): Materials {
  const byMl = new Map<number, number>()
  for (const { vaccine, product, doses } of items) {
    const use = useFor(product, vaccine)
    if (use === undefined || use.route === 'oral' || doses === 0) continue
    byMl.set(use.doseMl, (byMl.get(use.doseMl) ?? 0) + doses)
  }
  const diluents = items
    .filter(({ product }) => product.form === 'lyophilised')
    .reduce((sum, { vials }) => sum + vials, 0)
  const used = [...byMl.values()].reduce((sum, count) => sum + count, diluents)
  return {
    syringes: [...byMl].map(([ml, count]) => ({ ml, count })).sort((a, b) => a.ml - b.ml),
    diluents,
    safetyBoxes: Math.ceil(used / planning.syringesToABox),
  }
}
