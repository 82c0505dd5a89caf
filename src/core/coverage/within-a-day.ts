import type { Day } from '../days/day.ts'
import type { HourGiven } from '../register/hour-given.ts'

/** A birth and a first dose, as far as their hours are known. */
export interface BirthAndDose {
  readonly birthOn: Day
  /** Minutes after midnight; null: not known. */
  readonly birthMinute: number | null
  /** Null: not given. */
  readonly givenOn: Day | null
  /** What is known of its hour. */
  readonly hour: HourGiven | null
}

/**
 * Whether a dose was given within 24 hours of birth (WHO indicator I05). `null` where the record does not tell: the
 * day after birth, unless both hours show it.
 */
export function isWithinADay({ birthOn, birthMinute, givenOn, hour }: BirthAndDose): boolean | null {
  if (givenOn === null) return false
  const days = givenOn - birthOn
  if (days !== 1) return days === 0
  if (birthMinute === null || hour === null) return null
  if (hour.minute <= birthMinute) return true
  // Where only the hour of the report is known, it may have been given earlier on that day.
  return hour.isStated ? false : null
}
