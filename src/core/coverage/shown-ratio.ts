import type { CoverageRatio } from './coverage-ratio.ts'
import { wilsonInterval } from './coverage-ratio.ts'

/** A ratio as a person reads it: digits only, the words around them belong to the phrases. */
export type ShownRatio =
  | { readonly kind: 'percent'; readonly text: string }
  /** Too few children for a percentage: "7/8", with the 95 % interval, or `null` where there is none. */
  | { readonly kind: 'count'; readonly text: string; readonly interval: string | null }
  | { readonly kind: 'no-denominator'; readonly text: string }

/** One decimal, halves away from zero. */
function tenths(numerator: number, denominator: number): number {
  const exact = (numerator * 1000) / denominator
  return Math.sign(exact) * Math.round(Math.abs(exact))
}

const fixed = (inTenths: number): string => (inTenths / 10).toFixed(1)

/**
 * A percentage with one decimal. Where rounding up would carry it over a cut-off it does not reach,
 * it stops one tenth below: 79.96 against 80 is "79.9", so that figure and class agree.
 * @example percentText(1999, 2500, [80]) // '79.9'
 */
export function percentText(numerator: number, denominator: number, cutOffs: readonly number[] = []): string {
  const rounded = tenths(numerator, denominator)
  const percent = (100 * numerator) / denominator
  const crosses = cutOffs.some((cutOff) => percent < cutOff && rounded >= cutOff * 10)
  return fixed(crosses ? Math.floor(percent * 10) : rounded)
}

/** A denominator: one decimal, and none where it is whole. */
function countText(value: number): string {
  return Number.isInteger(value) ? String(value) : value.toFixed(1)
}

/** How a ratio is shown; under the small-number limit never as a bare percentage. */
export function showRatio(ratio: CoverageRatio, cutOffs: readonly number[] = []): ShownRatio {
  const { numerator, denominator } = ratio
  if (denominator === null || ratio.percent === null)
    return { kind: 'no-denominator', text: String(numerator) }
  if (!ratio.flags.includes('small-number'))
    return { kind: 'percent', text: percentText(numerator, denominator, cutOffs) }
  const interval = wilsonInterval(numerator, denominator)
  return {
    kind: 'count',
    text: `${numerator}/${countText(denominator)}`,
    interval: interval === null ? null : `${interval.low.toFixed(1)}–${interval.high.toFixed(1)}`,
  }
}
