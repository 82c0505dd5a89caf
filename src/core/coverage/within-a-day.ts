import type { Day } from '../days/day.ts'

/** A birth and a first dose, as far as their hours are known. */
export interface BirthAndDose {
  readonly birthOn: Day
  /** Minutes after midnight; null: not known. */
  readonly birthMinute: number | null
  /** Null: not given. */
  readonly givenOn: Day | null
  /** The report that came on the day of the dose, in minutes after midnight: by then it was given. Null: no such. */
  readonly givenBy: number | null
}

const MINUTES_A_DAY = 1440

/**
 * Whether a dose was given within 24 hours of birth (WHO indicator I05). `null` where the record does not tell: the
 * day after birth, unless both hours show it.
 */
export function isWithinADay({ birthOn, birthMinute, givenOn, givenBy }: BirthAndDose): boolean | null {
  if (givenOn === null) return false
  const days = givenOn - birthOn
  if (days !== 1) return days === 0
  if (birthMinute === null || givenBy === null) return null
  // The dose was given at the latest when it was told; earlier on that day it may have been within the 24 hours.
  return MINUTES_A_DAY + givenBy - birthMinute <= MINUTES_A_DAY ? true : null
}
