import { compareChildren } from '../../core/children/compare-children.ts'
import type { IdentifiedChild } from '../../core/children/compare-children.ts'
import type { DoubleRules } from '../../core/children/double-rules.ts'
import { pageOfChildren } from '../../store/children.ts'
import type { Db } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { doubleRulesOf } from '../matching-rules.ts'
import { suspectsAmong } from './find-doubles.ts'

/** A pair that other rules judge otherwise. */
export interface ChangedPair {
  readonly childIds: readonly [string, string]
  readonly names: readonly [string, string]
  /** Null: twins, whatever the points. */
  readonly pointsNow: number | null
  readonly pointsThen: number | null
}

export interface RuleTrial {
  /** Pairs found under both. */
  readonly found: number
  readonly added: readonly ChangedPair[]
  readonly dropped: readonly ChangedPair[]
}

const BATCH = 500
const MOST_SHOWN = 200

/** What other rules would find in the whole register of a district, against those in force; nothing is kept. */
export async function tryDoubleRules(
  db: Db,
  { shelf }: Pick<Deps, 'shelf'>,
  districtId: string,
  rules: DoubleRules,
): Promise<RuleTrial> {
  const inForce = await doubleRulesOf(db, shelf, districtId)
  // Whoever either set of rules looks at is compared under both.
  const widest = {
    ...rules,
    monthDays: Math.max(rules.monthDays, inForce.monthDays),
    nearDays: Math.max(rules.nearDays, inForce.nearDays),
  }
  const seen = new Set<string>()
  const added: ChangedPair[] = []
  const dropped: ChangedPair[] = []
  let found = 0
  let afterId: string | null = null
  for (;;) {
    const children: { readonly id: string }[] = await pageOfChildren(db, {
      districtId,
      villageId: null,
      afterId,
      limit: BATCH,
    })
    const ids = children.map(({ id }) => id)
    for (const { one, other } of await suspectsAmong(db, districtId, ids, widest)) {
      const key = `${one.id} ${other.id}`
      if (seen.has(key)) continue
      seen.add(key)
      const change = changeOf(one, other, { inForce, rules })
      if (change === 'found') found += 1
      else if (change !== null) (change.isFoundThen ? added : dropped).push(change.pair)
    }
    afterId = ids.at(-1) ?? null
    if (ids.length < BATCH) break
  }
  return { found, added: added.slice(0, MOST_SHOWN), dropped: dropped.slice(0, MOST_SHOWN) }
}

/** What other rules make of a pair: `found` under both, null under neither. */
function changeOf(
  one: IdentifiedChild,
  other: IdentifiedChild,
  { inForce, rules }: { readonly inForce: DoubleRules; readonly rules: DoubleRules },
): { readonly pair: ChangedPair; readonly isFoundThen: boolean } | 'found' | null {
  const [now, then] = [compareChildren(one, other, inForce), compareChildren(one, other, rules)]
  const isFoundThen = then.kind === 'one-child'
  if ((now.kind === 'one-child') === isFoundThen) return isFoundThen ? 'found' : null
  const pair = {
    childIds: [one.id, other.id],
    names: [one.name, other.name],
    pointsNow: now.kind === 'twins' ? null : now.points,
    pointsThen: then.kind === 'twins' ? null : then.points,
  } as const
  return { pair, isFoundThen }
}
