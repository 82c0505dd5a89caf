import { checkData } from '../../core/checked-data.ts'
import { districtTermsSchema } from '../../core/retention/terms.ts'
import type { DistrictTerms } from '../../core/retention/terms.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { findSetting, putSetting } from '../../store/settings.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import type { Shelf } from '../shelf.ts'

/** What a district set, or what ships. */
export async function termsOf(
  db: Db,
  shelf: Pick<Shelf, 'retention'>,
  districtId: string,
): Promise<DistrictTerms> {
  const own = checkData(districtTermsSchema, await findSetting(db, districtId, 'retention'))
  return own.kind === 'valid' ? own.value : shelf.retention.district
}

/** From the next run on a district keeps things for so long. */
export async function setTerms(
  tx: Transaction,
  deps: Deps,
  {
    districtId,
    terms,
    by,
  }: { readonly districtId: string; readonly terms: DistrictTerms; readonly by: string },
): Promise<void> {
  const before = await termsOf(tx, deps.shelf, districtId)
  const changedAt = deps.clock.now()
  await putSetting(tx, { districtId, name: 'retention', value: terms, changedBy: by, changedAt })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'set-retention',
    subject: { kind: 'district', id: districtId },
    before,
    after: terms,
  })
}
