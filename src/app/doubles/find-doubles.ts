import { compareChildren, comparedFacts, slipsOf } from '../../core/children/compare-children.ts'
import type { IdentifiedChild } from '../../core/children/compare-children.ts'
import type { DoubleRules } from '../../core/children/double-rules.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { listDistricts } from '../../store/districts.ts'
import {
  closePairsOfWithdrawn,
  doublesOfPair,
  insertDouble,
  listDosesTwice,
  listSuspects,
  markCompared,
  settleDouble,
  takeChildrenToCompare,
} from '../../store/doubles.ts'
import type { Pair } from '../../store/doubles.ts'
import { identitiesOf } from '../../store/find-children.ts'
import type { Deps } from '../deps.ts'
import { doubleRulesOf } from '../matching-rules.ts'
import { digest } from '../tokens.ts'

/** Children compared in one transaction, so that nobody waits long for one. */
const BATCH = 200
/** Doses recorded so long ago were looked at before. */
const LOOK_BACK_MS = 30 * 24 * 3_600_000
const MOST_PAIRS = 500

export interface FoundDoubles {
  readonly compared: number
  readonly children: number
  readonly doses: number
}

/**
 * Compares children whose facts changed with those near them, and doses with those of the same child, and keeps the
 * likely doubles for a person. Doing it again changes nothing; any number of processes may do it at once.
 */
export async function findDoubles(deps: Deps): Promise<FoundDoubles> {
  let found: FoundDoubles = { compared: 0, children: 0, doses: 0 }
  for (const { id } of await listDistricts(deps.database.db)) {
    for (;;) {
      const batch = await deps.database.transaction((tx) => compareBatch(tx, deps, id))
      found = {
        ...found,
        compared: found.compared + batch.compared,
        children: found.children + batch.children,
      }
      if (batch.compared < BATCH) break
    }
    const doses = await deps.database.transaction((tx) => findDosesTwice(tx, deps, id))
    found = { ...found, doses: found.doses + doses }
  }
  return found
}

async function compareBatch(tx: Transaction, deps: Deps, districtId: string) {
  const ids = await takeChildrenToCompare(tx, districtId, BATCH)
  const rules = await doubleRulesOf(tx, deps.shelf, districtId)
  let children = 0
  for (const suspects of await suspectsAmong(tx, districtId, ids, rules))
    children += await keepOrDrop(tx, deps, { districtId, rules, ...suspects })
  await markCompared(tx, ids)
  return { compared: ids.length, children }
}

/** Two children that stand near each other. */
export interface Suspects {
  readonly one: IdentifiedChild
  readonly other: IdentifiedChild
}

/** Every pair of these children and of those near them. */
export async function suspectsAmong(
  db: Db,
  districtId: string,
  childIds: readonly string[],
  rules: DoubleRules,
): Promise<readonly Suspects[]> {
  if (childIds.length === 0) return []
  const asked = await identitiesOf(db, childIds)
  const slips = [...asked.values()].flatMap(({ id, birthOn }) =>
    slipsOf(birthOn).map((day) => ({ childId: id, birthOn: day })),
  )
  const pairs = await listSuspects(db, {
    districtId,
    childIds,
    sameVillageDays: Math.max(rules.monthDays, rules.nearDays),
    sameDistrictDays: rules.nearDays,
    slips,
  })
  const all = await identitiesOf(db, [...new Set(pairs.flatMap(({ oneId, otherId }) => [oneId, otherId]))])
  return pairs.flatMap(({ oneId, otherId }) => {
    const [one, other] = [all.get(oneId), all.get(otherId)]
    return one === undefined || other === undefined ? [] : [{ one, other }]
  })
}

interface Judging extends Suspects {
  readonly districtId: string
  readonly rules: DoubleRules
}

/** Keeps a likely pair, unless it was settled on the same facts; takes one off the list that is likely no more. */
async function keepOrDrop(
  tx: Transaction,
  deps: Deps,
  { districtId, rules, one, other }: Judging,
): Promise<number> {
  const comparison = compareChildren(one, other, rules)
  const pair: Pair = { oneId: one.id, otherId: other.id }
  const isLikely = comparison.kind === 'one-child'
  const known = await doublesOfPair(tx, pair)
  const waiting = known.find(({ closedAt }) => closedAt === null)
  const at = deps.clock.now()
  if (waiting !== undefined && !isLikely && waiting.raisedBy === null)
    await settleDouble(tx, waiting.id, { outcome: 'no-longer', by: 'duebell', comment: null, at })
  if (waiting !== undefined || !isLikely) return 0
  const factsDigest = digest(comparedFacts(one, other))
  if (known.some((item) => item.outcome === 'not-double' && item.factsDigest === factsDigest)) return 0
  await insertDouble(tx, {
    id: deps.newId(),
    districtId,
    kind: 'double',
    childId: one.id,
    otherChildId: other.id,
    doseId: null,
    otherDoseId: null,
    points: comparison.points,
    reasons: comparison.reasons,
    factsDigest,
    raisedBy: null,
    comment: null,
    createdAt: at,
  })
  return 1
}

/**
 * One dose that two sources told of: caught at entry where vaccine and day are the same, here where the day is a few
 * days off or another vaccine of the series was named.
 */
async function findDosesTwice(tx: Transaction, deps: Deps, districtId: string): Promise<number> {
  const { sameDoseWithinDays: withinDays } = await doubleRulesOf(tx, deps.shelf, districtId)
  const now = deps.clock.now()
  await closePairsOfWithdrawn(tx, districtId, now)
  const since = new Date(now.getTime() - LOOK_BACK_MS)
  const pairs = await listDosesTwice(tx, { districtId, withinDays, since, limit: MOST_PAIRS })
  for (const { childId, oneId, otherId } of pairs) {
    await insertDouble(tx, {
      id: deps.newId(),
      districtId,
      kind: 'dose-twice',
      childId,
      otherChildId: null,
      doseId: oneId,
      otherDoseId: otherId,
      points: null,
      reasons: null,
      factsDigest: null,
      raisedBy: null,
      comment: null,
      createdAt: now,
    })
  }
  return pairs.length
}
