import { forgetCallsBefore } from '../../store/webhooks.ts'
import type { Deps } from '../deps.ts'

/** Delivered calls can be replayed for so long; dead ones stay until somebody has looked. */
const KEPT_MS = 30 * 24 * 3_600_000

export function forgetOldCalls({ database, clock }: Deps): Promise<void> {
  return forgetCallsBefore(database.db, new Date(clock.now().getTime() - KEPT_MS))
}
