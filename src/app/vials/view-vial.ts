import type { Dose } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { mayUse } from '../../core/vials/open-vial.ts'
import type { VialAnswer } from '../../core/vials/open-vial.ts'
import type { VialConditions } from '../../core/vials/conditions.ts'
import { useFor } from '../../core/vials/product.ts'
import type { ProductUse } from '../../core/vials/product.ts'
import type { Vial } from '../../core/vials/vial.ts'
import type { Db } from '../../store/database.ts'
import { findVial, findVialByNumber, listVialsInUse, vialsById } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import type { Shelf } from '../shelf.ts'
import { productOf, vialNow, vialsNow } from './vial-shelf.ts'
import type { VialNow } from './vial-shelf.ts'

/** @throws {Refusal} vial-not-found */
export async function getVial(db: Db, id: string): Promise<Vial> {
  const vial = await findVial(db, id)
  if (vial === undefined) throw new Refusal('vial-not-found', `There is no opened vial ${id}.`)
  return vial
}

/** The vial with a number of the district, as it was typed. */
export async function findVialTyped(db: Db, districtId: string, typed: string): Promise<Vial | undefined> {
  return /^\d{1,9}$/.test(typed) ? findVialByNumber(db, districtId, Number(typed)) : undefined
}

/** The same. @throws {Refusal} vial-not-found */
export async function getVialTyped(db: Db, districtId: string, typed: string): Promise<Vial> {
  const vial = await findVialTyped(db, districtId, typed)
  if (vial !== undefined) return vial
  throw new Refusal('vial-not-found', `No open vial has the number ${typed}.`, { facts: { word: typed } })
}

/** The vials in use at a post or in the whole district. */
export async function vialsInUse(
  db: Db,
  { shelf }: Pick<Deps, 'shelf'>,
  place: { readonly districtId: string; readonly postId: string | null },
): Promise<readonly VialNow[]> {
  return vialsNow(db, shelf, await listVialsInUse(db, place))
}

/** Whether a dose may be drawn from a vial now, its conditions being as answered. */
export async function checkVial(
  db: Db,
  deps: Deps,
  vial: Vial,
  { vaccine, conditions }: { readonly vaccine: string; readonly conditions: VialConditions },
): Promise<VialAnswer> {
  const { open } = await vialNow(db, deps.shelf, vial)
  return mayUse(open, vaccine, deps.clock.now(), conditions)
}

/** What is known of a dose's vial: lot, maker and expiry of the vial, route and body site of its presentation. */
export interface DoseSource {
  readonly vial: Vial
  readonly use: ProductUse | null
}

/** The vials of some doses, by dose. */
export async function sourcesOf(
  db: Db,
  shelf: Shelf,
  doses: readonly Dose[],
): Promise<ReadonlyMap<string, DoseSource>> {
  const vials = await vialsById(
    db,
    doses.flatMap(({ vialId }) => (vialId === null ? [] : [vialId])),
  )
  return new Map(
    doses.flatMap((dose): [string, DoseSource][] => {
      const vial = vials.get(dose.vialId ?? '')
      if (vial === undefined) return []
      return [[dose.id, { vial, use: useFor(productOf(shelf, vial), dose.vaccine) ?? null }]]
    }),
  )
}
