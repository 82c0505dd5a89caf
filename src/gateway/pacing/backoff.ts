/** A pause that doubles. */
export interface Backoff {
  readonly firstMs: number
  readonly longestMs: number
}

/**
 * The pause after so many failures in a row, between half and the whole of the doubled time, so that many
 * clients of one server do not come back together; `random` gives 0 to 1.
 */
export function backoffMs(failures: number, { firstMs, longestMs }: Backoff, random: () => number): number {
  const whole = Math.min(longestMs, firstMs * 2 ** Math.min(failures, 30))
  return whole * (0.5 + random() / 2)
}
