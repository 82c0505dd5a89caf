import { formatMinute } from '../../core/days/clock-time.ts'
import { endOfDay } from '../../core/days/day-bounds.ts'
import { localTimeAt } from '../../core/days/zoned-time.ts'
import type { District } from '../../core/model.ts'
import { sayDay } from '../../core/texts/say-day.ts'

/** Until when, in words: `Mon 31 Mar 09:30`, or the day alone where all of it counts. */
export function untilInWords(
  { timeZone, calendar }: Pick<District, 'timeZone' | 'calendar'>,
  language: string,
  at: Date,
): string {
  const { day, minute } = localTimeAt(at, timeZone)
  const isWholeDay = at.getTime() === endOfDay(day, timeZone).getTime()
  const hours = isWholeDay ? null : formatMinute(minute)
  return sayDay(day, { language, calendar, hours })
}
