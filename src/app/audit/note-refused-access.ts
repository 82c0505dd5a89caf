import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'

export interface RefusedAccess {
  readonly actor: string
  readonly districtId: string | null
  readonly page: string
  /** Where it came from. */
  readonly address: string
}

const MINUTE_MS = 60_000
/** Refusals of one address in a minute from which they are a burst. */
const BURST = 20
/** Refusals of one address in a minute that get an entry each; a flood must not fill the disk. */
const MOST_ENTRIES = 50

const seen = new Map<string, { readonly since: number; count: number }>()

/** Keeps an access that was refused; a burst of them is said in the log once, for whoever watches it. */
export async function noteRefusedAccess(deps: Deps, refused: RefusedAccess): Promise<void> {
  const { actor, districtId, page, address } = refused
  const count = countOf(address, deps.clock.now().getTime())
  if (count === BURST) deps.log.warn('many accesses are refused', { address, count })
  if (count > MOST_ENTRIES) return
  await noteChange(deps.database.db, deps, {
    districtId,
    actor,
    act: 'refused',
    subject: { kind: 'address', id: null },
    after: { page, address },
  })
}

function countOf(address: string, now: number): number {
  for (const [each, { since }] of seen) if (now - since > MINUTE_MS) seen.delete(each)
  const known = seen.get(address) ?? { since: now, count: 0 }
  known.count += 1
  seen.set(address, known)
  return known.count
}
