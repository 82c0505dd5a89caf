import { openPresence } from '../app/note-presence.ts'
import type { RunningParts } from '../app/note-presence.ts'
import type { Lifecycle } from '../platform/lifecycle.ts'
import { repeat } from './rounds.ts'
import type { Service } from './service.ts'

/** Often enough that no minute in which a process works goes without. */
const BEAT_MS = 20_000

/** Says again and again that this process is there, until it stops. */
export function startHeartbeat(service: Service, parts: RunningParts, lifecycle: Lifecycle): void {
  const presence = openPresence(service.deps, parts)
  lifecycle.onStop('the heartbeat', presence.leave)
  repeat(BEAT_MS, presence.beat, service, lifecycle)
}
