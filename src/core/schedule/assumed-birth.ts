import { addDays, addMonths, parseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'

/**
 * The birth day to reckon with when only the month is known (`2026-01`): its last day, or the day of asking
 * if that is earlier. So no dose is ever asked for too early. Anything else is `undefined`.
 */
export function assumedBirth(yearMonth: string, asOf: Day): Day | undefined {
  const first = parseDay(`${yearMonth}-01`)
  if (first === undefined) return undefined
  const last = addDays(addMonths(first, 1), -1)
  return last > asOf && first <= asOf ? asOf : last
}
