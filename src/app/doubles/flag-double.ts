import { compareChildren, comparedFacts } from '../../core/children/compare-children.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Transaction } from '../../store/database.ts'
import { compareAllAgain, doublesOfPair, insertDouble, waitingDosesOf } from '../../store/doubles.ts'
import { findDose } from '../../store/doses.ts'
import { identitiesOf } from '../../store/find-children.ts'
import { lockStanding } from '../change-child.ts'
import type { Deps } from '../deps.ts'
import { doubleRulesOf } from '../matching-rules.ts'
import { noteChange } from '../note-change.ts'
import { digest } from '../tokens.ts'

export interface Flag {
  readonly by: string
  readonly comment: string | null
}

/** Anyone who thinks that two records are of one child has them looked at. @throws {Refusal} child-merged */
export async function flagChildren(
  tx: Transaction,
  deps: Deps,
  { childIds, by, comment }: Flag & { readonly childIds: readonly [string, string] },
): Promise<string> {
  const [oneId, otherId] = childIds[0] < childIds[1] ? childIds : [childIds[1], childIds[0]]
  if (oneId === otherId) throw new Refusal('input-invalid', 'Name two records.')
  const child = await lockStanding(tx, oneId)
  const another = await lockStanding(tx, otherId)
  if (child.districtId !== another.districtId)
    throw new Refusal(
      'children-of-two-districts',
      'Move one of the children to the district of the other first.',
    )
  const known = (await doublesOfPair(tx, { oneId, otherId })).find(({ closedAt }) => closedAt === null)
  if (known !== undefined) return known.id
  const identities = await identitiesOf(tx, [oneId, otherId])
  const [one, other] = [identities.get(oneId), identities.get(otherId)]
  if (one === undefined || other === undefined) throw new Error('both children were just locked')
  const rules = await doubleRulesOf(tx, deps.shelf, child.districtId)
  const comparison = compareChildren(one, other, rules)
  return keep(tx, deps, {
    districtId: child.districtId,
    kind: 'double',
    childId: oneId,
    otherChildId: otherId,
    doseId: null,
    otherDoseId: null,
    points: comparison.kind === 'twins' ? null : comparison.points,
    reasons: comparison.kind === 'twins' ? null : comparison.reasons,
    factsDigest: digest(comparedFacts(one, other)),
    raisedBy: by,
    comment,
  })
}

/** Anyone who thinks that two reports are of one dose has them looked at. @throws {Refusal} dose-not-found */
export async function flagDoses(
  tx: Transaction,
  deps: Deps,
  { doseIds, by, comment }: Flag & { readonly doseIds: readonly [string, string] },
): Promise<string> {
  const [oneId, otherId] = doseIds[0] < doseIds[1] ? doseIds : [doseIds[1], doseIds[0]]
  const [one, other] = [await findDose(tx, oneId), await findDose(tx, otherId)]
  if (one === undefined || other === undefined)
    throw new Refusal('dose-not-found', 'Name two doses on record.')
  if (one.childId !== other.childId || one.id === other.id)
    throw new Refusal('input-invalid', 'Name two doses of one child.')
  const child = await lockStanding(tx, one.childId)
  const known = await waitingDosesOf(tx, oneId, otherId)
  if (known !== undefined) return known.id
  return keep(tx, deps, {
    districtId: child.districtId,
    kind: 'dose-twice',
    childId: child.id,
    otherChildId: null,
    doseId: oneId,
    otherDoseId: otherId,
    points: null,
    reasons: null,
    factsDigest: null,
    raisedBy: by,
    comment,
  })
}

type Kept = Omit<Parameters<typeof insertDouble>[1], 'id' | 'createdAt'>

async function keep(tx: Transaction, deps: Deps, item: Kept): Promise<string> {
  const id = deps.newId()
  await insertDouble(tx, { id, createdAt: deps.clock.now(), ...item })
  await noteChange(tx, deps, {
    districtId: item.districtId,
    actor: item.raisedBy ?? 'duebell',
    act: 'flag-double',
    subject: { kind: 'child', id: item.childId },
    after: { otherChildId: item.otherChildId, doseId: item.doseId, otherDoseId: item.otherDoseId },
  })
  return id
}

/** Has every child of a district compared anew by the next round; answers how many there are. */
export async function checkAgain(
  tx: Transaction,
  deps: Deps,
  districtId: string,
  by: string,
): Promise<number> {
  const children = await compareAllAgain(tx, districtId)
  const subject = { kind: 'district', id: districtId }
  await noteChange(tx, deps, { districtId, actor: by, act: 'check-doubles', subject, after: { children } })
  return children
}
