import type { Vial } from '../../core/vials/vial.ts'
import type { Db } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { listVialsOfLot } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { dosesFrom } from '../vials/exposed-doses.ts'
import type { ExposedDose } from '../vials/exposed-doses.ts'

export interface LotTrace {
  readonly lot: string
  readonly vials: readonly Vial[]
  readonly doses: readonly ExposedDose[]
}

/** Who received a lot: every vial and dose of it that is on record in a district. The asking is noted. */
export async function traceLot(
  db: Db,
  deps: Deps,
  { districtId, lot: asked, by }: { readonly districtId: string; readonly lot: string; readonly by: string },
): Promise<LotTrace> {
  const lot = asked.trim().toLocaleUpperCase('en')
  const vials = await listVialsOfLot(db, districtId, lot)
  const doses = await dosesFrom(db, await getDistrict(db, districtId), vials)
  await noteChange(db, deps, {
    districtId,
    actor: by,
    act: 'trace-lot',
    subject: { kind: 'district', id: districtId },
    after: { lot, doses: doses.length },
  })
  return { lot, vials, doses }
}
