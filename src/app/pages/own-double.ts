import { Refusal } from '../../core/refusals.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { checkAgain, flagChildren } from '../doubles/flag-double.ts'
import { getDouble } from '../doubles/settle-double.ts'
import { getMerge, undoMerge } from '../doubles/undo-merge.ts'
import { viewDoubles, viewSideBySide } from '../doubles/view-doubles.ts'
import type { DoubleLists, SideBySide } from '../doubles/view-doubles.ts'
import { viewByCard } from '../views.ts'
import type { DistrictScope } from './district-scope.ts'
import { proveOwnChild } from './own-child.ts'
import type { Visitor } from './page-session.ts'

export type {
  DoubleLists,
  ListedDouble,
  ListedMerge,
  SideBySide,
  SideRecord,
} from '../doubles/view-doubles.ts'

/** Pairs of the visitor's own district; those of another one are not there. */

/** What waits and what was settled, read where it was written: a pair just settled waits no more. */
export function ownDoubles({ deps, district }: DistrictScope): Promise<DoubleLists> {
  return viewDoubles(deps.database.db, district.id)
}

/** @throws {Refusal} double-not-found */
export async function ownPair(scope: DistrictScope, itemId: string): Promise<SideBySide> {
  await proveOwnDouble(scope.db, scope, itemId)
  return viewSideBySide(scope.db, scope.deps, itemId)
}

/** Settles a pair, whole or not at all. @throws {Refusal} double-not-found */
export async function settleOwnPair(
  scope: DistrictScope,
  itemId: string,
  work: (tx: Transaction) => Promise<unknown>,
): Promise<void> {
  await scope.deps.database.transaction(async (tx) => {
    await proveOwnDouble(tx, scope, itemId)
    await work(tx)
  })
}

async function proveOwnDouble(db: Db, { district }: DistrictScope, itemId: string): Promise<void> {
  if ((await getDouble(db, itemId)).districtId !== district.id)
    throw new Refusal('double-not-found', `${district.name} has no such pair.`)
}

/** Parts what was merged; answers the record that stays. @throws {Refusal} merge-not-found, merge-undone */
export function undoOwnMerge(
  { deps, district }: DistrictScope,
  { holderId }: Visitor,
  { mergeId, comment }: { readonly mergeId: string; readonly comment: string | null },
): Promise<string> {
  return deps.database.transaction(async (tx) => {
    if ((await getMerge(tx, mergeId)).districtId !== district.id)
      throw new Refusal('merge-not-found', `${district.name} has no such merge.`)
    return (await undoMerge(tx, deps, { mergeId, by: holderId, comment })).staysId
  })
}

/** Has a child and the one of a card looked at; answers the pair. @throws {Refusal} child-not-found, child-merged */
export function flagOwnChild(
  { deps, district }: DistrictScope,
  { holderId }: Visitor,
  {
    childId,
    card,
    comment,
  }: { readonly childId: string; readonly card: string; readonly comment: string | null },
): Promise<string> {
  return deps.database.transaction(async (tx) => {
    await proveOwnChild(tx, district, childId)
    const [other] = await viewByCard(tx, card, district.id)
    if (other === undefined)
      throw new Refusal('child-not-found', `${district.name} has no child with the card ${card}.`)
    return flagChildren(tx, deps, { childIds: [childId, other.child.id], by: holderId, comment })
  })
}

/** Has every child of the district compared anew by the next round. */
export function checkOwnDistrict({ deps, district }: DistrictScope, { holderId }: Visitor): Promise<number> {
  return deps.database.transaction((tx) => checkAgain(tx, deps, district.id, holderId))
}
