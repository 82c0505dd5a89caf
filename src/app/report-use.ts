import { DateTime } from 'luxon'
import type { District } from '../core/model.ts'
import { countActsByWeek } from '../store/use.ts'
import type { UsedInWeek } from '../store/use.ts'
import type { Deps } from './deps.ts'

export type { UsedInWeek } from '../store/use.ts'

/** How the service is used: acts of each role in each of the last weeks, this one included, oldest first. */
export function reportUse(
  { database, clock }: Pick<Deps, 'database' | 'clock'>,
  { id, timeZone }: Pick<District, 'id' | 'timeZone'>,
  weeks: number,
): Promise<UsedInWeek[]> {
  const thisWeek = DateTime.fromJSDate(clock.now(), { zone: timeZone }).startOf('week')
  return countActsByWeek(database.reading, id, timeZone, thisWeek.minus({ weeks: weeks - 1 }).toJSDate())
}
