import type { Range } from './need.ts'
import type { SupplyPlanning } from './supply-planning.ts'

export interface StockLevel {
  /**
   * `out`: none left; `short`: not enough for the next session; `low`: enough for it, but not for its high
   * estimate or not for long; `enough`.
   */
  readonly level: 'out' | 'short' | 'low' | 'enough'
  /** Closed vials that the next session lacks. */
  readonly shortfallVials: number
}

/** Compares the closed vials at a place with its next session and its month, before any child comes for nothing. */
export function stockLevel(
  onHandVials: number,
  nextSession: Range,
  monthVials: number,
  planning: SupplyPlanning,
): StockLevel {
  const shortfallVials = Math.max(0, nextSession.expected - onHandVials)
  const isLow = onHandVials < Math.max(nextSession.high, monthVials * planning.lowBelowMonths)
  if (onHandVials <= 0) return { level: 'out', shortfallVials }
  if (shortfallVials > 0) return { level: 'short', shortfallVials }
  return { level: isLow ? 'low' : 'enough', shortfallVials }
}
