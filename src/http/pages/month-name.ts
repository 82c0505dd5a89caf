import { formatDay } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'

/** The name of a month in addresses: 2026-03. */
export function monthName(day: Day): string {
  return formatDay(day).slice(0, 7)
}
