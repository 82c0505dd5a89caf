/** Where a yearly target must stand at the end of each month if it is reached evenly (monitoring chart). */
export function cumulativeTarget(annual: number): readonly number[] {
  return Array.from({ length: 12 }, (_, month) => (annual * (month + 1)) / 12)
}

/** Running totals; the monitoring chart draws those of a first and of a third dose, the gap between is the dropout. */
export function cumulative(counts: readonly number[]): readonly number[] {
  let total = 0
  return counts.map((count) => (total += count))
}
