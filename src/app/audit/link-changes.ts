import { holdChain, insertLinks, lastLink, takeWaiting } from '../../store/audit-chain.ts'
import type { AuditLink } from '../../store/audit-chain.ts'
import { getChanges } from '../../store/changes.ts'
import type { Deps } from '../deps.ts'
import { CHAIN_START, chain, entryDigest } from './entry-digest.ts'

const BATCH = 500

/**
 * Links what was noted since the last round into the chain; answers the chain's head, or `undefined` while it is empty.
 * Linking apart from noting keeps writers from waiting for each other; what it costs is that an entry can be altered
 * unseen until the next round.
 */
export async function linkChanges(deps: Pick<Deps, 'database'>): Promise<AuditLink | undefined> {
  for (;;) {
    const { head, taken } = await deps.database.transaction(async (tx) => {
      await holdChain(tx)
      const ids = await takeWaiting(tx, BATCH)
      const entries = new Map((await getChanges(tx, ids)).map((entry) => [entry.id, entry]))
      const last = await lastLink(tx)
      const links: AuditLink[] = []
      for (const changeId of ids) {
        const entry = entries.get(changeId)
        if (entry === undefined) continue
        const before = links.at(-1) ?? last
        const digest = entryDigest(entry)
        const chained = chain(before?.chained ?? CHAIN_START, digest)
        links.push({ serial: (before?.serial ?? 0n) + 1n, changeId, digest, chained })
      }
      await insertLinks(tx, links)
      return { head: links.at(-1) ?? last, taken: ids.length }
    })
    if (taken < BATCH) return head
  }
}
