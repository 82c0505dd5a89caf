/** Where coverage stops being poor and dropout starts being poor, in percent. */
export interface CutOffs {
  readonly coveragePercent: number
  readonly dropoutPercent: number
}

/** What stands between the children and their doses (WHO "reaching every district" analysis). */
export type Problem = 'none' | 'utilisation' | 'access' | 'both'

export interface Priority {
  /** 1 no problem, 2 utilisation, 3 access, 4 both: the kind of problem, not the order of urgency. */
  readonly category: 1 | 2 | 3 | 4
  readonly problem: Problem
  /** Figures that cannot be true as they stand; look at the data before the village. */
  readonly doubts: readonly ('over-100' | 'negative-dropout')[]
}

/**
 * Sorts a place by access (coverage of the first DTP-containing dose) and utilisation (dropout to the third).
 * Coverage exactly at its cut-off is good, dropout exactly at its cut-off is poor. Unrounded percentages go in;
 * `null` when either is unknown.
 */
export function priority(
  coveragePercent: number | null,
  dropoutPercent: number | null,
  cutOffs: CutOffs,
): Priority | null {
  if (coveragePercent === null || dropoutPercent === null) return null
  const hasAccess = coveragePercent >= cutOffs.coveragePercent
  const isUsed = dropoutPercent < cutOffs.dropoutPercent
  return { ...kind(hasAccess, isUsed), doubts: doubts(coveragePercent, dropoutPercent) }
}

function kind(hasAccess: boolean, isUsed: boolean): Pick<Priority, 'category' | 'problem'> {
  if (hasAccess) return isUsed ? { category: 1, problem: 'none' } : { category: 2, problem: 'utilisation' }
  return isUsed ? { category: 3, problem: 'access' } : { category: 4, problem: 'both' }
}

function doubts(coveragePercent: number, dropoutPercent: number): Priority['doubts'] {
  return [
    ...(coveragePercent > 100 ? (['over-100'] as const) : []),
    ...(dropoutPercent < 0 ? (['negative-dropout'] as const) : []),
  ]
}
