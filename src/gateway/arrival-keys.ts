import { createHash } from 'node:crypto'
import type { Clock } from '../app/ports.ts'

/** Names arrivals that carry no id of their own, so that the same text delivered again has the same key. */
export interface ArrivalKeys {
  /** The key of what consists of these pieces; equal pieces within the window are the same arrival. */
  readonly keyOf: (...pieces: readonly (string | Uint8Array)[]) => string
}

/** How long the same content from the same sender counts as the same text delivered again. */
const REPEAT_WINDOW_MS = 10 * 60_000

/**
 * Keys are a digest and the start of the window in which it first came. The window is remembered in memory;
 * after a restart it is told from the clock alone, so that only a repeat across a window's edge gets a new key.
 */
export function arrivalKeys(clock: Clock, windowMs = REPEAT_WINDOW_MS): ArrivalKeys {
  const first = new Map<string, { readonly key: string; readonly until: number }>()
  return {
    keyOf(...pieces) {
      const now = clock.now().getTime()
      for (const [digest, { until }] of first) {
        if (until > now) break
        first.delete(digest)
      }
      const digest = digestOf(pieces)
      const known = first.get(digest)
      if (known !== undefined) return known.key
      const key = `${digest}-${String(Math.floor(now / windowMs))}`
      first.set(digest, { key, until: now + windowMs })
      return key
    },
  }
}

/** SHA-256 over the pieces, each with its length so that they cannot run into each other. */
function digestOf(pieces: readonly (string | Uint8Array)[]): string {
  const hash = createHash('sha256')
  for (const piece of pieces) hash.update(`${String(piece.length)}:`).update(piece)
  return hash.digest('hex').slice(0, 32)
}
