import type { Resource } from '../../core/exchange/resource.ts'
import type { Db } from '../../store/database.ts'
import { noteChange } from '../note-change.ts'
import type { Deps } from '../deps.ts'
import { districtOfChild } from '../views.ts'
import {
  findAdverseEvents,
  findImmunizations,
  findPatients,
  recommendationOf,
  theOne,
} from './find-resources.ts'

/** More doses than any child has. */
const ALL_DOSES = 1000

/**
 * Everything on record of one child: who it is, every dose, every reaction, what is next. Who asked is noted.
 * @throws {Refusal} child-not-found, resource-not-found where its family bars sharing
 */
export async function handOutHistory(
  db: Db,
  deps: Deps,
  asked: { readonly childId: string; readonly by: string },
): Promise<Resource[]> {
  const { childId, by } = asked
  const districtId = await districtOfChild(db, childId)
  const { resources: patients } = await findPatients(db, { districtId, ids: [childId], limit: 1 })
  const patient = theOne(patients, 'such Patient')
  const { resources: doses } = await findImmunizations(db, deps, { districtId, childId, limit: ALL_DOSES })
  const { resources: reactions } = await findAdverseEvents(db, { districtId, childId, limit: ALL_DOSES })
  const recommendation = await recommendationOf(db, deps, childId)
  await noteChange(db, deps, {
    districtId,
    actor: by,
    act: 'hand-out-history',
    subject: { kind: 'child', id: childId },
    after: { doses: doses.length },
  })
  return [patient, ...doses, ...reactions, ...(recommendation === undefined ? [] : [recommendation])]
}
