import { areTwins } from '../../core/children/compare-children.ts'
import type { ChosenFact } from '../../core/children/proposed-merge.ts'
import { sameDoses } from '../../core/children/same-dose.ts'
import type { Child, Dose } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { changeChild, lockChild } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { livingDosesOf, voidDose } from '../../store/doses.ts'
import { settleDoublesOf } from '../../store/doubles.ts'
import { identitiesOf } from '../../store/find-children.ts'
import { insertFormerName } from '../../store/follow-up.ts'
import {
  caregiversOf,
  doseIdsOf,
  endCaregivers,
  insertMerge,
  moveBelongings,
  moveDoses,
} from '../../store/merges.ts'
import type { KeptFacts } from '../../store/merges.ts'
import { joinLine, linesOfChild } from '../../store/people.ts'
import { lockStanding } from '../change-child.ts'
import { followNotes } from '../clinical-notes.ts'
import { todayIn } from '../deps.ts'
import type { Deps } from '../deps.ts'
import { doubleRulesOf } from '../matching-rules.ts'
import { noteChange } from '../note-change.ts'
import { refreshPlan } from '../refresh-plan.ts'
import type { Plan } from '../refresh-plan.ts'
import { getDistrict } from '../../store/districts.ts'

/** Facts that the reviewer may take from the record that leaves. */
export { CHOSEN_FACTS } from '../../core/children/proposed-merge.ts'
export type { ChosenFact } from '../../core/children/proposed-merge.ts'

export interface MergeOrder {
  /** The record that stands afterwards, with its card. */
  readonly staysId: string
  readonly leavesId: string
  /** Facts taken from the record that leaves; the others stay as they are. */
  readonly fromLeaving: readonly ChosenFact[]
  /** Reports of one dose that are withdrawn; null: those proposed by `sameDoses`. */
  readonly dropDoseIds: readonly string[] | null
  readonly comment: string | null
  readonly by: string
}

/** Why a report of a dose was withdrawn by a merge. */
export const MERGED_DOSE = 'same dose on the merged record'

export interface Merged {
  readonly mergeId: string
  readonly plan: Plan
}

/**
 * Makes two records one. Everything of the leaving one goes to the one that stays, its card keeps working, and what was
 * moved is kept, so that `undoMerge` can give each item back.
 * @throws {Refusal} child-not-found, child-merged, children-are-twins, children-of-two-districts, doses-clash,
 * dose-before-birth, birth-after-enrolment
 */
export async function mergeChildren(tx: Transaction, deps: Deps, order: MergeOrder): Promise<Merged> {
  const { stays, leaves } = await lockBoth(tx, order)
  await refuseTwins(tx, deps, stays, leaves)
  const mergeId = deps.newId()
  const at = deps.clock.now()
  const dropped = await dropDoses(tx, deps, order, stays)
  const choices = { fromLeaving: [...order.fromLeaving], dropped }
  const after = chosenFacts(stays, leaves, order.fromLeaving)
  const standing = await changeChild(tx, stays.id, after)
  const formerNames = await keepNames(tx, deps, standing, [stays, leaves])
  const doses = await doseIdsOf(tx, leaves.id)
  await moveDoses(tx, doses, standing)
  const belongings = await moveBelongings(tx, leaves.id, stays.id)
  for (const id of [leaves.id, stays.id]) await followNotes(tx, id)
  // One family, one wish.
  const isBarredAnew = leaves.isSharingBarred && !stays.isSharingBarred
  if (isBarredAnew) await changeChild(tx, stays.id, { sharingBarredAt: at, sharingBarredBy: order.by })
  const links = await moveCaregivers(tx, deps, leaves.id, stays.id)
  const today = todayIn(deps, await getDistrict(tx, leaves.districtId))
  await changeChild(tx, leaves.id, {
    status: 'duplicate',
    statusOn: today,
    statusReason: null,
    awayUntil: null,
    mergedInto: stays.id,
  })
  // Whoever lost the doses is planned first: a dose has one verdict, and it has to be free.
  await refreshPlan(tx, deps, leaves.id)
  const plan = await refreshPlan(tx, deps, stays.id)
  await insertMerge(tx, {
    id: mergeId,
    districtId: stays.districtId,
    staysId: stays.id,
    leavesId: leaves.id,
    choices,
    moved: {
      doses,
      dropped,
      ...belongings,
      ...links,
      isBarredAnew,
      formerNames,
      before: factsOf(stays),
      after,
      status: leaves.status,
    },
    comment: order.comment,
    mergedBy: order.by,
    mergedAt: at,
  })
  await settleDoublesOf(tx, leaves.id, { outcome: 'merged', by: order.by, comment: null, at })
  await noteMerge(tx, deps, order, { mergeId, stays, leaves, after: { ...inWords(choices), ...after } })
  return { mergeId, plan }
}

/** The record of changes tells of both children. */
async function noteMerge(
  tx: Transaction,
  deps: Deps,
  { by }: MergeOrder,
  merge: {
    readonly mergeId: string
    readonly stays: Child
    readonly leaves: Child
    readonly after: KeptFacts & ReturnType<typeof inWords>
  },
): Promise<void> {
  const { mergeId, stays, leaves } = merge
  const after = { mergeId, staysId: stays.id, leavesId: leaves.id, ...merge.after }
  for (const [child, act] of [
    [stays, 'merge'],
    [leaves, 'merged-into'],
  ] as const) {
    const subject = { kind: 'child', id: child.id }
    const change = { before: factsOf(child), after }
    await noteChange(tx, deps, { districtId: stays.districtId, actor: by, act, subject, ...change })
  }
}

/** What was chosen, as the record of changes keeps it. */
function inWords({
  fromLeaving,
  dropped,
}: {
  readonly fromLeaving: readonly string[]
  readonly dropped: readonly string[]
}) {
  return { fromLeaving: fromLeaving.join(' '), dropped: dropped.join(' ') }
}

/** Always in the same order, so that two merges never wait for each other. */
async function lockBoth(tx: Transaction, { staysId, leavesId }: MergeOrder) {
  if (staysId === leavesId) throw new Refusal('input-invalid', 'A record is not merged into itself.')
  for (const id of [staysId, leavesId].sort()) await lockChild(tx, id)
  const [stays, leaves] = [await lockStanding(tx, staysId), await lockStanding(tx, leavesId)]
  if (stays.districtId !== leaves.districtId)
    throw new Refusal(
      'children-of-two-districts',
      'Move one of the children to the district of the other first.',
    )
  return { stays, leaves }
}

async function refuseTwins(tx: Transaction, { shelf }: Deps, stays: Child, leaves: Child): Promise<void> {
  const identities = await identitiesOf(tx, [stays.id, leaves.id])
  const [one, other] = [identities.get(stays.id), identities.get(leaves.id)]
  if (one === undefined || other === undefined) throw new Error('both children were just locked')
  if (!areTwins(one, other, await doubleRulesOf(tx, shelf, stays.districtId))) return
  throw new Refusal(
    'children-are-twins',
    'One day of birth and one family, but another sex or name: twins. If it is one child, correct the wrong fact first.',
  )
}

/** Withdraws the reports of doses that the other record tells better. */
async function dropDoses(tx: Transaction, deps: Deps, order: MergeOrder, stays: Child): Promise<string[]> {
  const { staysId, leavesId, by } = order
  const living = [...(await livingDosesOf(tx, [staysId, leavesId])).values()].flat()
  const { sameDoseWithinDays } = await doubleRulesOf(tx, deps.shelf, stays.districtId)
  const proposed = sameDoses(living, sameDoseWithinDays).map(({ drop }) => drop.id)
  const wanted = order.dropDoseIds ?? proposed
  const dropped = wanted.filter((id) => living.some((dose) => dose.id === id))
  refuseClash(living.filter(({ id }) => !dropped.includes(id)))
  for (const id of dropped) await voidDose(tx, id, { at: deps.clock.now(), by, reason: MERGED_DOSE })
  return dropped
}

/** A vaccine is given once a day. */
function refuseClash(kept: readonly Dose[]): void {
  const [clash] = sameDoses(kept, 0)
  if (clash === undefined) return
  throw new Refusal('doses-clash', `Choose one of the two reports of ${clash.keep.vaccine} of one day.`, {
    facts: { doseIds: [clash.keep.id, clash.drop.id] },
  })
}

function factsOf(child: Child): KeptFacts {
  const { name, sex, birthOn, isBirthEstimated, birthMinute, birthWeightGrams, villageId } = child
  return { name, sex, birthOn, isBirthEstimated, birthMinute, birthWeightGrams, villageId }
}

function chosenFacts(stays: Child, leaves: Child, fromLeaving: readonly ChosenFact[]) {
  const of = (fact: ChosenFact): Child => (fromLeaving.includes(fact) ? leaves : stays)
  return {
    name: of('name').name,
    sex: of('sex').sex,
    birthOn: of('birth').birthOn,
    isBirthEstimated: of('birth').isBirthEstimated,
    birthMinute: of('birth').birthMinute,
    birthWeightGrams: of('birthWeight').birthWeightGrams,
    villageId: of('village').villageId,
  }
}

/** Every name either record had finds the one that stands. */
async function keepNames(
  tx: Transaction,
  deps: Deps,
  standing: Child,
  both: readonly Child[],
): Promise<string[]> {
  const identities = await identitiesOf(
    tx,
    both.map(({ id }) => id),
  )
  const own = identities.get(standing.id)?.formerNames ?? []
  const all = both.flatMap(({ id, name }) => [name, ...(identities.get(id)?.formerNames ?? [])])
  const wanted = [...new Set(all)].filter((name) => name !== standing.name && !own.includes(name))
  const kept = wanted.map((name) => ({
    id: deps.newId(),
    childId: standing.id,
    name,
    until: deps.clock.now(),
  }))
  for (const former of kept) await insertFormerName(tx, former)
  return kept.map(({ id }) => id)
}

/** The lines of the leaving record serve the one that stays. */
async function moveCaregivers(tx: Transaction, deps: Deps, from: string, to: string) {
  const links = await caregiversOf(tx, from)
  const known = new Set((await linesOfChild(tx, to)).map(({ id }) => id))
  const since = deps.clock.now()
  const joined = links
    .filter(({ lineId }) => !known.has(lineId))
    .map(({ lineId, relation, phoneKind }) => {
      return { id: deps.newId(), childId: to, lineId, relation, phoneKind, since }
    })
  for (const link of joined) await joinLine(tx, link)
  const ended = links.map(({ id }) => id)
  await endCaregivers(tx, ended, since)
  return { joined: joined.map(({ id }) => id), ended }
}
