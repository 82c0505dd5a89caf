import { createHash } from 'node:crypto'
import type { StoredChange } from '../../store/changes.ts'

/** Where the chain begins. */
export const CHAIN_START = '0'.repeat(64)

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex')

/** The digest of an entry as it reads, however it is sealed. */
export function entryDigest(entry: StoredChange): string {
  const { id, districtId, happenedAt, actor, act, subjectKind, subjectId, before, after, childIds } = entry
  return sha256(
    JSON.stringify([
      id,
      districtId,
      happenedAt.toISOString(),
      actor,
      act,
      subjectKind,
      subjectId,
      before,
      after,
      // Entries from before there were any keep their digest.
      ...(childIds.length === 0 ? [] : [childIds]),
    ]),
  )
}

export const chain = (previous: string, digest: string): string => sha256(`${previous} ${digest}`)
