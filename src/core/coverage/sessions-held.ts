import type { Day } from '../days/day.ts'

/** Sessions planned and what became of them (WHO indicator I45, counted by session days, not by vaccinations). */
export interface SessionCompletion {
  readonly planned: number
  /** Planned days on which the post worked. */
  readonly held: number
  /** Days worked that no calendar planned; they mend no missed session and stand outside the ratio. */
  readonly unplanned: number
  readonly percent: number | null
  /** Planned days on which nothing was heard. */
  readonly missedOn: readonly Day[]
}

/** Compares a session calendar with the days on which a post gave or reported anything. */
export function sessionCompletion(plannedOn: readonly Day[], workedOn: readonly Day[]): SessionCompletion {
  const planned = new Set(plannedOn)
  const worked = new Set(workedOn)
  const missedOn = [...planned].filter((day) => !worked.has(day)).sort((a, b) => a - b)
  const held = planned.size - missedOn.length
  return {
    planned: planned.size,
    held,
    unplanned: worked.size - held,
    percent: planned.size === 0 ? null : (100 * held) / planned.size,
    missedOn,
  }
}
