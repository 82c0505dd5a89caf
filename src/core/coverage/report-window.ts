import type { Day } from '../days/day.ts'
import { civilDate, daysInMonth } from '../days/day.ts'

/** Which doses a report counts. */
export type ReportWindow =
  /** Everything on the register, against the target of one year. */
  | { readonly kind: 'register' }
  /** Children born in one calendar year, whenever they had the dose. */
  | { readonly kind: 'cohort'; readonly birthYear: number }
  /** Doses given from one day to another, both included, whoever had them. */
  | { readonly kind: 'period'; readonly fromOn: Day; readonly toOn: Day }

/** What a reader may ask for: the births of a year, or a period with both its ends, or neither. */
export interface WindowWish {
  readonly cohort?: number | undefined
  readonly from?: Day | undefined
  readonly to?: Day | undefined
}

/** The window of a wish; `undefined` for half a period, one that ends before it begins, or a cohort and a period. */
export function windowOf({ cohort, from, to }: WindowWish): ReportWindow | undefined {
  if (from === undefined && to === undefined)
    return cohort === undefined ? { kind: 'register' } : { kind: 'cohort', birthYear: cohort }
  if (cohort !== undefined || from === undefined || to === undefined || from > to) return undefined
  return { kind: 'period', fromOn: from, toOn: to }
}

/**
 * How much of a yearly target a report is measured against: one for a cohort or the whole register;
 * for a period a twelfth a month, and of a month begun or ended early its share of days.
 */
export function shareOfYear(window: ReportWindow): number {
  if (window.kind !== 'period') return 1
  return monthsIn(window.fromOn, window.toOn) / 12
}

function monthsIn(fromOn: Day, toOn: Day): number {
  const from = civilDate(fromOn)
  const to = civilDate(toOn)
  const whole = (to.year - from.year) * 12 + to.month - from.month
  const missingAtStart = (from.dayOfMonth - 1) / daysInMonth(from.year, from.month)
  return whole - missingAtStart + to.dayOfMonth / daysInMonth(to.year, to.month)
}

/** The first day of a day's month. */
export function firstOfMonth(day: Day): Day {
  return (day - civilDate(day).dayOfMonth + 1) as Day
}

/** True when a period is made of whole months, so that monthly sums answer it. */
export function isWholeMonths(fromOn: Day, toOn: Day): boolean {
  return firstOfMonth(fromOn) === fromOn && firstOfMonth((toOn + 1) as Day) === toOn + 1
}
