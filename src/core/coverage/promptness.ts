/** How soon something was told: reports after doses, enrolments after births. */
export interface Promptness {
  readonly total: number
  /** For each limit in days, how many came within it (the limit itself included). */
  readonly within: readonly { readonly limitDays: number; readonly count: number }[]
  readonly medianDays: number | null
}

/** Sums up delays in days; `limitsDays` are the lines a programme draws (1, 7 and 30 for doses, 42 for enrolment). */
export function promptness(delaysDays: readonly number[], limitsDays: readonly number[]): Promptness {
  return {
    total: delaysDays.length,
    within: limitsDays.map((limitDays) => ({
      limitDays,
      count: delaysDays.filter((delay) => delay <= limitDays).length,
    })),
    medianDays: median(delaysDays),
  }
}

function median(values: readonly number[]): number | null {
  const sorted = values.toSorted((a, b) => a - b)
  const upper = sorted[Math.floor(sorted.length / 2)]
  const lower = sorted[Math.ceil(sorted.length / 2) - 1]
  return upper === undefined || lower === undefined ? null : (lower + upper) / 2
}
