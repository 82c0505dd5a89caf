import { addDays } from './day.ts'
import type { Day } from './day.ts'
import { instantOf } from './zoned-time.ts'

/** The first instant of a day, which is not always midnight: clocks may leap over it. */
export function startOfDay(day: Day, zone: string): Date {
  return instantOf({ day, minute: 0 }, zone)
}

/** The last instant (millisecond) of a day. */
export function endOfDay(day: Day, zone: string): Date {
  return new Date(startOfDay(addDays(day, 1), zone).getTime() - 1)
}
