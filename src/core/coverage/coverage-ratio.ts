/** What a reader must know before trusting a ratio; flagged, never hidden and never clamped. */
export type RatioFlag = 'over-100' | 'small-number' | 'no-denominator'

/** A count over a target. Nothing is rounded: rounding belongs to `showRatio`. */
export interface CoverageRatio {
  readonly numerator: number
  /** `null`: the authority gave no target. */
  readonly denominator: number | null
  /** `null` without a denominator above zero. */
  readonly percent: number | null
  readonly flags: readonly RatioFlag[]
}

/** An interval in percent. */
export interface Interval {
  readonly low: number
  readonly high: number
}

/** The normal deviate of a 95 % interval. */
const Z = 1.96

/**
 * A count over its target. `smallNumberBelow` is the denominator under which a percentage misleads.
 * @example coverageRatio(21, 20, 10).percent // 105
 */
export function coverageRatio(
  numerator: number,
  denominator: number | null,
  smallNumberBelow: number,
): CoverageRatio {
  if (denominator === null || denominator <= 0)
    return { numerator, denominator, percent: null, flags: ['no-denominator'] }
  const flags: RatioFlag[] = []
  if (numerator > denominator) flags.push('over-100')
  if (denominator < smallNumberBelow) flags.push('small-number')
  return { numerator, denominator, percent: (100 * numerator) / denominator, flags }
}

/**
 * Wilson's score interval (E. B. Wilson, 1927; z = 1.96), in percent.
 * `null` where the count is no share of the denominator (over 100 %, or nothing to divide by).
 */
export function wilsonInterval(numerator: number, denominator: number): Interval | null {
  if (denominator <= 0 || numerator < 0 || numerator > denominator) return null
  const share = numerator / denominator
  const scale = 1 + Z ** 2 / denominator
  const centre = (share + Z ** 2 / (2 * denominator)) / scale
  const half = (Z * Math.sqrt((share * (1 - share)) / denominator + Z ** 2 / (4 * denominator ** 2))) / scale
  return { low: 100 * Math.max(0, centre - half), high: 100 * Math.min(1, centre + half) }
}
