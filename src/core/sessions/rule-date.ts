import { parseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'

/**
 * Reads `20260106`, `20260106T090000` or `20260106T060000Z` (RFC 5545 §3.3.4, §3.3.5), from 1970 on. Sessions are
 * civil days: the date counts as it is written, the time of day is left aside.
 */
export function readRuleDate(value: string): Day | undefined {
  const match = /^(\d{4})(\d{2})(\d{2})(?:T\d{6}Z?)?$/.exec(value)
  const day = match === null ? undefined : parseDay(match.slice(1).join('-'))
  return day !== undefined && day >= 0 ? day : undefined
}
