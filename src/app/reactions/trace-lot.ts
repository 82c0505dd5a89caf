import type { Vial } from '../../core/vials/vial.ts'
import type { Db } from '../../store/database.ts'
import { numbersOfChildren } from '../../store/follow-lists.ts'
import { listDosesOfVials, listVialsOfLot } from '../../store/vials.ts'
import type { ExposedChild } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'

/** A child that had a dose of a lot, and how to reach the family. */
export interface TracedDose extends ExposedChild {
  readonly vialNumber: number
  readonly numbers: readonly string[]
}

export interface LotTrace {
  readonly lot: string
  readonly vials: readonly Vial[]
  readonly doses: readonly TracedDose[]
}

/** Who received a lot: every vial and dose of it that is on record in a district. The asking is noted. */
export async function traceLot(
  db: Db,
  deps: Deps,
  { districtId, lot: asked, by }: { readonly districtId: string; readonly lot: string; readonly by: string },
): Promise<LotTrace> {
  const lot = asked.trim().toLocaleUpperCase('en')
  const vials = await listVialsOfLot(db, districtId, lot)
  const numbers = new Map(vials.map(({ id, number }) => [id, number]))
  const doses = await listDosesOfVials(db, [...numbers.keys()])
  const phones = await numbersOfChildren(
    db,
    doses.map(({ childId }) => childId),
  )
  await noteChange(db, deps, {
    districtId,
    actor: by,
    act: 'trace-lot',
    subject: { kind: 'district', id: districtId },
    after: { lot, doses: doses.length },
  })
  return {
    lot,
    vials,
    doses: doses.map((dose) => ({
      ...dose,
      vialNumber: numbers.get(dose.vialId) ?? 0,
      numbers: phones.get(dose.childId) ?? [],
    })),
  }
}
