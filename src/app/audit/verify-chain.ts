import { countUnlinked, linksAfter } from '../../store/audit-chain.ts'
import type { AuditLink } from '../../store/audit-chain.ts'
import { getChanges } from '../../store/changes.ts'
import type { StoredChange } from '../../store/changes.ts'
import type { Db } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { CHAIN_START, chain, entryDigest } from './entry-digest.ts'

/** Something in the record is not as it was noted. */
export interface Tampering {
  readonly serial: bigint | null
  readonly what:
    'entry-altered' | 'entry-removed' | 'link-removed' | 'link-altered' | 'entries-unlinked' | 'head-unknown'
  readonly changeId: string | null
}

/** A head noted down elsewhere, which must still be in the chain. */
export interface KnownHead {
  readonly serial: bigint
  readonly chained: string
}

export interface Verified {
  readonly head: KnownHead | null
  readonly found: readonly Tampering[]
}

const BATCH = 1000
/** Longer than any round takes to link what was noted. */
const SETTLED_MS = 60_000

/** Walks the whole chain and compares each entry with its digest. */
export async function verifyChain(deps: Deps, known: KnownHead | null): Promise<Verified> {
  const { db } = deps.database
  const found: Tampering[] = []
  let last: AuditLink | undefined
  let isHeadKnown = known === null
  for (;;) {
    const batch = await linksAfter(db, last?.serial ?? 0n, BATCH)
    found.push(...(await batchFaults(db, last, batch)))
    isHeadKnown ||= batch.some(({ serial, chained }) => serial === known?.serial && chained === known.chained)
    last = batch.at(-1) ?? last
    if (batch.length < BATCH) break
  }
  const unlinked = await countUnlinked(db, new Date(deps.clock.now().getTime() - SETTLED_MS))
  if (unlinked > 0) found.push({ serial: null, changeId: null, what: 'entries-unlinked' })
  if (!isHeadKnown) found.push({ serial: known?.serial ?? null, changeId: null, what: 'head-unknown' })
  return { head: last === undefined ? null : { serial: last.serial, chained: last.chained }, found }
}

async function batchFaults(
  db: Db,
  before: AuditLink | undefined,
  batch: readonly AuditLink[],
): Promise<Tampering[]> {
  const stored = await getChanges(
    db,
    batch.map(({ changeId }) => changeId),
  )
  const entries = new Map(stored.map((entry) => [entry.id, entry]))
  return batch.flatMap((link, place) => [
    ...linkFaults(batch[place - 1] ?? before, link),
    ...entryFaults(entries.get(link.changeId), link),
  ])
}

function entryFaults(entry: StoredChange | undefined, { serial, changeId, digest }: AuditLink): Tampering[] {
  if (entry === undefined) return [{ serial, changeId, what: 'entry-removed' }]
  return entryDigest(entry) === digest ? [] : [{ serial, changeId, what: 'entry-altered' }]
}

function linkFaults(before: AuditLink | undefined, link: AuditLink): Tampering[] {
  const { serial, changeId } = link
  if (serial !== (before?.serial ?? 0n) + 1n) return [{ serial, changeId, what: 'link-removed' }]
  const isWhole = link.chained === chain(before?.chained ?? CHAIN_START, link.digest)
  return isWhole ? [] : [{ serial, changeId, what: 'link-altered' }]
}
