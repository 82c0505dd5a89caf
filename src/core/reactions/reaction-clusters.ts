import type { Day } from '../days/day.ts'
import type { ClusterRule } from './alert-rules.ts'
import type { Sign } from './sign-catalogue.ts'

/** A report as clusters see it; what is not known is `null` and joins nothing. */
export interface ClusterFact {
  readonly id: string
  readonly vial: string | null
  readonly lot: string | null
  readonly post: string | null
  readonly reactionOn: Day
  /** The gravest of its signs. */
  readonly weight: Sign['weight']
}

export interface ReactionCluster {
  readonly by: ClusterRule['by']
  /** The vial, lot or post. */
  readonly key: string
  /** All reports that lie close enough to another, in time order. */
  readonly reports: readonly ClusterFact[]
}

function grouped(facts: readonly ClusterFact[], by: ClusterRule['by']): Map<string, ClusterFact[]> {
  const groups = new Map<string, ClusterFact[]>()
  for (const fact of facts) {
    const key = fact[by]
    if (key !== null) groups.set(key, [...(groups.get(key) ?? []), fact])
  }
  return groups
}

/** Reports of one group that stand in some window of the rule's length with enough others. */
function crowded(facts: readonly ClusterFact[], rule: ClusterRule): ClusterFact[] {
  const sorted = [...facts].sort((a, b) => a.reactionOn - b.reactionOn)
  const inCrowd = new Set<ClusterFact>()
  for (const first of sorted) {
    const near = sorted.filter(
      ({ reactionOn }) => reactionOn >= first.reactionOn && reactionOn < first.reactionOn + rule.withinDays,
    )
    if (near.length >= rule.reports) for (const fact of near) inCrowd.add(fact)
  }
  return sorted.filter((fact) => inCrowd.has(fact))
}

/** Groups of reports that are too many for chance to be assumed; an officer looks at each at once. */
export function reactionClusters(
  facts: readonly ClusterFact[],
  rules: readonly ClusterRule[],
): readonly ReactionCluster[] {
  return rules.flatMap((rule) => {
    const counted = facts.filter(({ weight }) => rule.weights.includes(weight))
    return [...grouped(counted, rule.by)]
      .map(([key, group]) => ({ by: rule.by, key, reports: crowded(group, rule) }))
      .filter(({ reports }) => reports.length > 0)
  })
}
