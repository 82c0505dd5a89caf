/**
 * Places, by index, whose value lies further from the mean than `deviations` sample standard deviations
 * (WHO 2018 facility data guide: 3, over the months of a unit's year).
 * Among n values none can lie beyond (n − 1)/√n deviations, so fewer than 11 never show an outlier of 3.
 */
export function outliers(values: readonly number[], deviations: number): readonly number[] {
  if (values.length < 2) return []
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  const limit = deviations * Math.sqrt(squares / (values.length - 1))
  return values.flatMap((value, index) => (Math.abs(value - mean) > limit ? [index] : []))
}
