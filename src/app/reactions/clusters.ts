import type { District } from '../../core/model.ts'
import { reactionClusters } from '../../core/reactions/reaction-clusters.ts'
import type { ClusterFact, ReactionCluster } from '../../core/reactions/reaction-clusters.ts'
import type { Sign, SignCatalogue } from '../../core/reactions/sign-catalogue.ts'
import type { Transaction } from '../../store/database.ts'
import { listHealthPosts } from '../../store/districts.ts'
import { listReportsWithVials } from '../../store/reactions.ts'
import type { ReportWithVial } from '../../store/reactions.ts'
import type { Deps } from '../deps.ts'
import { raiseAlert } from './alerts.ts'

/** As far back as the longest rule looks, and a little more. */
const SINCE_MS = 60 * 86_400_000

/** Raises an alert for each cluster that a new report belongs to. */
export async function raiseClusters(
  tx: Transaction,
  deps: Deps,
  { district, reactionId }: { readonly district: District; readonly reactionId: string },
): Promise<void> {
  const since = new Date(deps.clock.now().getTime() - SINCE_MS)
  const reports = await listReportsWithVials(tx, district.id, since)
  const facts = reports.map((report) => factOf(report, deps.shelf.signs))
  const own = reactionClusters(oncePerKey(facts), deps.shelf.alerts.clusters).filter((cluster) =>
    cluster.reports.some(({ id }) => id === reactionId),
  )
  for (const cluster of own) {
    await raiseAlert(tx, deps, {
      districtId: district.id,
      kind: 'cluster',
      subject: `${cluster.by} ${cluster.key}`,
      postId: cluster.by === 'post' ? cluster.key : null,
      childId: null,
      reactionId,
      words: await wordsOf(tx, district, cluster),
    })
  }
}

/** The gravest of a report's signs; a report nobody could read counts as notable. */
function weightOf({ signs, isSerious }: ReportWithVial, catalogue: SignCatalogue): Sign['weight'] {
  if (isSerious) return 'serious'
  const weights = catalogue.signs.filter(({ code }) => signs.includes(code)).map(({ weight }) => weight)
  return weights.length > 0 && weights.every((weight) => weight === 'ordinary') ? 'ordinary' : 'notable'
}

function factOf(report: ReportWithVial, catalogue: SignCatalogue): ClusterFact {
  const { id, vial, lot, post, reactionOn } = report
  return { id, vial, lot, post, reactionOn, weight: weightOf(report, catalogue) }
}

/** A report stands once under each vial, lot and post, however many vials were used for one child. */
function oncePerKey(facts: readonly ClusterFact[]): ClusterFact[] {
  const seen = new Set<string>()
  const first = (by: 'vial' | 'lot' | 'post', fact: ClusterFact): string | null => {
    const key = `${by} ${fact.id} ${fact[by] ?? ''}`
    if (fact[by] === null || seen.has(key)) return null
    seen.add(key)
    return fact[by]
  }
  return facts.map((fact) => ({
    ...fact,
    vial: first('vial', fact),
    lot: first('lot', fact),
    post: first('post', fact),
  }))
}

/** "3: 101", "2: L4471B", "3: Ford": how many, and what they share. */
async function wordsOf(
  tx: Transaction,
  district: District,
  { by, key, reports }: ReactionCluster,
): Promise<string> {
  const posts = by === 'post' ? await listHealthPosts(tx, district.id) : []
  const name = posts.find(({ id }) => id === key)?.name ?? key
  return `${new Set(reports.map(({ id }) => id)).size}: ${name}`
}
