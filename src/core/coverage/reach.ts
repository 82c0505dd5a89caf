/** Children a target says exist and the doses say were not reached. */
export interface Unreached {
  /** Target minus children who had the dose; never below zero, for there are no negative children. */
  readonly children: number
  /** By how many the doses exceed the target; above zero it marks a target too low or doses counted twice. */
  readonly surplus: number
}

/**
 * Zero-dose children when `reached` had the first DTP-containing dose, under-vaccinated ones when they had the third.
 * `null` without a target.
 * @example unreached(368, 350) // { children: 18, surplus: 0 }
 */
export function unreached(target: number | null, reached: number): Unreached | null {
  if (target === null) return null
  return { children: Math.max(0, target - reached), surplus: Math.max(0, reached - target) }
}

/**
 * How many zero-dose children may be left when a baseline is brought down by a share
 * (Immunization Agenda 2030, indicator IG2.1: by 50 % from 2019 to 2030).
 */
export function zeroDoseGoal(baseline: number, reductionPercent: number): number {
  return (baseline * (100 - reductionPercent)) / 100
}
