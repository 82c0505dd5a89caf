import { proposeMerge } from '../../core/children/proposed-merge.ts'
import type { ProposedMerge } from '../../core/children/proposed-merge.ts'
import { sameDoses } from '../../core/children/same-dose.ts'
import type { SameDose } from '../../core/children/same-dose.ts'
import type { Dose } from '../../core/model.ts'
import type { Db } from '../../store/database.ts'
import { countSettled, listDoubles } from '../../store/doubles.ts'
import type { Double, SettledCount } from '../../store/doubles.ts'
import { dosesOfChild } from '../../store/doses.ts'
import { identitiesOf } from '../../store/find-children.ts'
import { listMerges } from '../../store/merges.ts'
import type { Merge } from '../../store/merges.ts'
import { countTextsAbout } from '../../store/reminders.ts'
import type { Deps } from '../deps.ts'
import { doubleRulesOf } from '../matching-rules.ts'
import { decisionsOf, viewChild } from '../views.ts'
import type { ChildView, ClinicalNote } from '../views.ts'
import { getDouble } from './settle-double.ts'

/** One of two records that stand side by side, with everything there is to compare. */
export interface SideRecord extends ChildView {
  readonly formerNames: readonly string[]
  /** Withdrawn ones too. */
  readonly doses: readonly Dose[]
  /** What clinicians decided, ended decisions too. */
  readonly decisions: readonly ClinicalNote[]
  /** How many texts about the child went out. */
  readonly texts: number
}

export interface SideBySide {
  readonly item: Double
  /** One for two doses of one child, two for two children. */
  readonly records: readonly SideRecord[]
  /** Reports that are of one dose, with the one that should stay and why. */
  readonly sameDoses: readonly SameDose<Dose>[]
  /** Null: one child's doses are in question, not two children. */
  readonly proposed: ProposedMerge | null
}

/** A pair with full detail, and which of the doses should stay. @throws {Refusal} double-not-found */
export async function viewSideBySide(
  db: Db,
  { shelf }: Pick<Deps, 'shelf'>,
  itemId: string,
): Promise<SideBySide> {
  const item = await getDouble(db, itemId)
  const ids = [item.childId, ...(item.otherChildId === null ? [] : [item.otherChildId])]
  const identities = await identitiesOf(db, ids)
  const records = await Promise.all(
    ids.map(async (id) => ({
      ...(await viewChild(db, id)),
      formerNames: identities.get(id)?.formerNames ?? [],
      doses: await dosesOfChild(db, id),
      decisions: await decisionsOf(db, id),
      texts: await countTextsAbout(db, id),
    })),
  )
  const rules = await doubleRulesOf(db, shelf, item.districtId)
  const living = records.flatMap(({ doses }) => doses.filter(({ voidedAt }) => voidedAt === null))
  const concerned =
    item.kind === 'double' ? living : living.filter(({ id }) => id === item.doseId || id === item.otherDoseId)
  const [one, other] = records
  const proposed = one === undefined || other === undefined ? null : proposeMerge(one, other, rules)
  return { item, records, sameDoses: sameDoses(concerned, rules.sameDoseWithinDays), proposed }
}

/** A pair on the list, with the names to know it by. */
export interface ListedDouble extends Double {
  readonly names: readonly string[]
}

export interface ListedMerge extends Merge {
  readonly staysName: string
  readonly leavesName: string
}

export interface DoubleLists {
  readonly waiting: readonly ListedDouble[]
  readonly settled: readonly ListedDouble[]
  /** Of all that were settled, also those too old to be listed. */
  readonly report: readonly SettledCount[]
  readonly merges: readonly ListedMerge[]
}

const MOST_LISTED = 200

/** What waits, what was settled, and what was merged in a district. */
export async function viewDoubles(db: Db, districtId: string): Promise<DoubleLists> {
  const waiting = await listDoubles(db, districtId, { isSettled: false, limit: MOST_LISTED })
  const settled = await listDoubles(db, districtId, { isSettled: true, limit: MOST_LISTED })
  const merges = await listMerges(db, districtId, MOST_LISTED)
  const ids = [
    ...[...waiting, ...settled].flatMap(({ childId, otherChildId }) => [childId, otherChildId ?? childId]),
    ...merges.flatMap(({ staysId, leavesId }) => [staysId, leavesId]),
  ]
  const names = await identitiesOf(db, [...new Set(ids)])
  const nameOf = (id: string): string => names.get(id)?.name ?? ''
  const named = (item: Double): ListedDouble => ({
    ...item,
    names: [item.childId, ...(item.otherChildId === null ? [] : [item.otherChildId])].map(nameOf),
  })
  return {
    waiting: waiting.map(named),
    settled: settled.map(named),
    report: await countSettled(db, districtId),
    merges: merges.map((merge) => ({
      ...merge,
      staysName: nameOf(merge.staysId),
      leavesName: nameOf(merge.leavesId),
    })),
  }
}
