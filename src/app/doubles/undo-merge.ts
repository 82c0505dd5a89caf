import { comparedFacts } from '../../core/children/compare-children.ts'
import type { Day } from '../../core/days/day.ts'
import type { Child, ChildStatus } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { changeChild, lockChild } from '../../store/children.ts'
import type { ChildChange } from '../../store/children.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { insertDouble, settleDouble } from '../../store/doubles.ts'
import { identitiesOf } from '../../store/find-children.ts'
import {
  bringBackDoses,
  deleteFormerNames,
  doseIdsReportedFor,
  endCaregivers,
  findMerge,
  markUndone,
  moveBelongingsBack,
  moveDoses,
  resumeCaregivers,
} from '../../store/merges.ts'
import type { KeptFacts, Merge } from '../../store/merges.ts'
import { refuseErased } from '../child-facts.ts'
import { followNotes } from '../clinical-notes.ts'
import { todayIn } from '../deps.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { linesOfChild } from '../../store/people.ts'
import { refreshPlan } from '../refresh-plan.ts'
import { digest } from '../tokens.ts'
import { MERGED_DOSE } from './merge-children.ts'

/** @throws {Refusal} merge-not-found */
export async function getMerge(db: Db, mergeId: string): Promise<Merge> {
  const merge = await findMerge(db, mergeId)
  if (merge !== undefined) return merge
  throw new Refusal('merge-not-found', `There is no merge ${mergeId}.`)
}

/**
 * Parts two records that were merged: each item goes back to its owner, and so does what was reported since under the
 * card of the record that had left. The two are then known to be two children.
 * @throws {Refusal} merge-not-found, child-not-found, merge-undone, merge-has-later
 */
export async function undoMerge(
  tx: Transaction,
  deps: Deps,
  {
    mergeId,
    by,
    comment,
  }: { readonly mergeId: string; readonly by: string; readonly comment: string | null },
): Promise<Merge> {
  const merge = await getMerge(tx, mergeId)
  const { staysId, leavesId, moved } = merge
  for (const id of [staysId, leavesId].sort()) await lockChild(tx, id)
  const at = deps.clock.now()
  if (!(await markUndone(tx, mergeId, by, at))) throw new Refusal('merge-undone', 'Nothing was changed.')
  const stays = refuseErased(await lockChild(tx, staysId))
  if (stays.mergedInto !== null)
    throw new Refusal(
      'merge-has-later',
      'The record that stands was merged into another later; undo that first.',
    )

  const today = todayIn(deps, await getDistrict(tx, stays.districtId))
  const leaves = await changeChild(tx, leavesId, {
    mergedInto: null,
    // An absence that was under way at the merge is not known to go on.
    status: moved.status === 'away' ? 'active' : (moved.status as ChildStatus),
    statusOn: today,
  })
  await moveDoses(tx, [...moved.doses, ...(await doseIdsReportedFor(tx, leavesId))], leaves)
  await changeChild(tx, staysId, factsToRestore(stays, merge))
  await bringBackDoses(tx, moved.dropped, MERGED_DOSE)
  await moveBelongingsBack(tx, moved, leavesId)
  for (const id of [staysId, leavesId]) await followNotes(tx, id)
  if (moved.isBarredAnew) await changeChild(tx, staysId, { sharingBarredAt: null, sharingBarredBy: null })
  const linesNow = (await linesOfChild(tx, staysId)).map(({ id }) => id)
  await endCaregivers(tx, moved.joined, at)
  await resumeCaregivers(tx, moved.ended, linesNow)
  await deleteFormerNames(tx, moved.formerNames)
  // Whoever loses the doses is planned first: a dose has one verdict, and it has to be free.
  await refreshPlan(tx, deps, staysId)
  await refreshPlan(tx, deps, leavesId)
  await keepApart(tx, deps, merge, { by, comment, at })
  for (const id of [staysId, leavesId]) {
    const subject = { kind: 'child', id }
    const after = { mergeId, comment }
    await noteChange(tx, deps, { districtId: merge.districtId, actor: by, act: 'undo-merge', subject, after })
  }
  return merge
}

/** Facts that the merge changed go back, unless somebody corrected them since. */
function factsToRestore(stays: Child, { moved }: Merge): ChildChange {
  const { before, after } = moved
  const now: KeptFacts = stays
  const isAsMerged = (fact: keyof KeptFacts): boolean =>
    before[fact] !== after[fact] && now[fact] === after[fact]
  return {
    ...(isAsMerged('name') ? { name: before.name } : {}),
    ...(isAsMerged('sex') ? { sex: before.sex } : {}),
    // A day is kept as its number.
    ...(isAsMerged('birthOn') ? { birthOn: before.birthOn as Day } : {}),
    ...(isAsMerged('isBirthEstimated') ? { isBirthEstimated: before.isBirthEstimated } : {}),
    ...(isAsMerged('birthMinute') ? { birthMinute: before.birthMinute } : {}),
    ...(isAsMerged('birthWeightGrams') ? { birthWeightGrams: before.birthWeightGrams } : {}),
    ...(isAsMerged('villageId') ? { villageId: before.villageId } : {}),
  }
}

interface Parting {
  readonly by: string
  readonly comment: string | null
  readonly at: Date
}

/** "No double" is noted, so that the rules do not bring the pair up again. */
async function keepApart(
  tx: Transaction,
  deps: Deps,
  merge: Merge,
  { by, comment, at }: Parting,
): Promise<void> {
  const [oneId = '', otherId = ''] = [merge.staysId, merge.leavesId].sort()
  const identities = await identitiesOf(tx, [oneId, otherId])
  const [one, other] = [identities.get(oneId), identities.get(otherId)]
  if (one === undefined || other === undefined) throw new Error('both children were just parted')
  const id = deps.newId()
  const factsDigest = digest(comparedFacts(one, other))
  await insertDouble(tx, {
    id,
    districtId: merge.districtId,
    kind: 'double',
    childId: oneId,
    otherChildId: otherId,
    doseId: null,
    otherDoseId: null,
    points: null,
    reasons: null,
    factsDigest,
    raisedBy: by,
    comment: null,
    createdAt: at,
  })
  await settleDouble(tx, id, { outcome: 'not-double', by, comment, at, factsDigest })
}
