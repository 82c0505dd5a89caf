/** How fast parts may go. */
export interface Rate {
  readonly perSecond: number
  /** So many may go at once after a pause. */
  readonly burst: number
}

/** Tokens at a moment; each part takes one. */
export interface Bucket {
  readonly tokens: number
  /** Milliseconds on any clock that only goes forward. */
  readonly at: number
}

/** A steady rate: a burst is what goes in a twentieth of a second, at least one part. */
export function steadyRate(perSecond: number): Rate {
  return { perSecond, burst: Math.max(1, perSecond / 20) }
}

/** The bucket at a later moment. */
export function refill({ tokens, at }: Bucket, { perSecond, burst }: Rate, now: number): Bucket {
  return { tokens: Math.min(burst, tokens + ((now - at) * perSecond) / 1000), at: now }
}

/** Milliseconds until a token is there; 0 when one is. */
export function waitForToken({ tokens }: Bucket, { perSecond }: Rate): number {
  return tokens >= 1 ? 0 : ((1 - tokens) * 1000) / perSecond
}
