const SECOND = 1000
const MINUTE = 60 * SECOND
const HOUR = 60 * MINUTE

/** Waits after the first try, the second and so on; after the last of them nobody is called again by itself. */
const WAITS = [5 * SECOND, MINUTE, 5 * MINUTE, 30 * MINUTE, 2 * HOUR, 6 * HOUR, 12 * HOUR, 24 * HOUR]
/** A receiver may ask for a longer wait, within reason. */
const LONGEST_ASKED = 24 * HOUR
/** Each wait is up to so much longer, so that calls that failed together do not come together again. */
const JITTER = 0.5

/**
 * How long to wait after a try that failed, in milliseconds; `null` when it was the last one.
 * @param tries how often it was tried so far, at least once
 * @param random uniform in [0, 1)
 * @param askedMs the wait the receiver asked for, if it did
 */
export function waitAfter(tries: number, random: number, askedMs: number | null): number | null {
  const wait = WAITS[tries - 1]
  if (wait === undefined) return null
  return Math.round(Math.max(wait, Math.min(askedMs ?? 0, LONGEST_ASKED)) * (1 + JITTER * random))
}

/** Tries of one call in all. */
export const MOST_TRIES = WAITS.length + 1
