import type { Day, MonthEnd } from '../days/day.ts'
import { addDays } from '../days/day.ts'
import { later as dayAfter } from '../schedule/length.ts'
import type { DosePair } from './dose-pair.ts'
import type { SheetDose } from './dose-sheet.ts'

export type DropoutFlag = 'negative-dropout' | 'small-number' | 'no-first-dose'

/**
 * Children who began and did not go on. WHO's published indicators (I35–I39) describe one thing and compute
 * another; both are given, each under its name:
 * - `cohort` follows children: of those who had the first dose and are past due for the later one, who lacks it.
 *   It cannot be negative.
 * - `period` subtracts two counts of doses: it mixes children and goes negative when more have the later dose.
 */
export interface Dropout {
  readonly reading: 'cohort' | 'period'
  readonly first: number
  readonly later: number
  /** First minus later, unclamped. */
  readonly dropped: number
  readonly percent: number | null
  readonly flags: readonly DropoutFlag[]
}

/** What the cohort reading needs of one child. */
export interface PairHistory {
  readonly firstOn: Day | null
  readonly laterOn: Day | null
  /** When the later dose is due, by the schedule and the child's history. */
  readonly laterDueOn: Day
}

/**
 * When a child who had the first dose of a pair is due for the later one: at its age, and no sooner after the first
 * than the schedule's own gap.
 */
export function laterDueOn(
  child: { readonly birthOn: Day; readonly firstOn: Day },
  { first, later }: DosePair,
  monthEnd: MonthEnd,
): Day {
  const dueOn = (dose: SheetDose): Day => dayAfter(child.birthOn, dose.dueAge, monthEnd)
  const afterFirst = addDays(child.firstOn, dueOn(later) - dueOn(first))
  return afterFirst > dueOn(later) ? afterFirst : dueOn(later)
}

/** Dropout between two counts of doses given in one period, or in one birth cohort. */
export function periodDropout(first: number, later: number, smallNumberBelow: number): Dropout {
  return dropout('period', { first, later }, smallNumberBelow)
}

/** Dropout among children followed; those whose later dose is not past due on `asOf` stand outside. */
export function cohortDropout(
  children: readonly PairHistory[],
  asOf: Day,
  smallNumberBelow: number,
): Dropout {
  const followed = children.filter((child) => child.firstOn !== null && !isStillOpen(child, asOf))
  const later = followed.filter((child) => child.laterOn !== null).length
  return dropout('cohort', { first: followed.length, later }, smallNumberBelow)
}

function isStillOpen(child: PairHistory, asOf: Day): boolean {
  return child.laterOn === null && child.laterDueOn >= asOf
}

function dropout(
  reading: Dropout['reading'],
  counts: { readonly first: number; readonly later: number },
  smallNumberBelow: number,
): Dropout {
  const { first, later } = counts
  const dropped = first - later
  if (first === 0) return { reading, first, later, dropped, percent: null, flags: ['no-first-dose'] }
  const flags: DropoutFlag[] = []
  if (dropped < 0) flags.push('negative-dropout')
  if (first < smallNumberBelow) flags.push('small-number')
  return { reading, first, later, dropped, percent: (100 * dropped) / first, flags }
}
