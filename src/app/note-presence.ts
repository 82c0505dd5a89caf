import { forgetProcess, forgetProcessesSeenBefore, markPresent } from '../store/presence.ts'
import type { Deps } from './deps.ts'

/** What a process says of itself. */
export interface RunningParts {
  readonly roles: readonly string[]
  readonly release: string
}

export interface Presence {
  /** The process is there and reaches the database: its roles are counted as working in this minute. */
  readonly beat: () => Promise<void>
  /** It ends. */
  readonly leave: () => Promise<void>
}

const FORGET_MS = 24 * 3_600_000

/** A process makes itself known, so that it can be told which releases run and when what part worked. */
export function openPresence(
  { database: { db }, clock, newId }: Deps,
  { roles, release }: RunningParts,
): Presence {
  const startedAt = clock.now()
  const process = { id: newId(), roles: roles.join(','), release, startedAt }
  return {
    beat: async () => {
      await markPresent(db, process, clock.now())
      await forgetProcessesSeenBefore(db, new Date(clock.now().getTime() - FORGET_MS))
    },
    leave: () => forgetProcess(db, process.id),
  }
}
