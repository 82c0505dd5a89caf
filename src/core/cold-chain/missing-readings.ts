import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { localTimeAt } from '../days/zoned-time.ts'
import type { ColdChainRules } from './cold-chain-rules.ts'

/** A part of a day in which nobody read the thermometer. */
export interface MissingReading {
  readonly on: Day
  /** Code of the part of the day (`ColdChainRules.readings`). */
  readonly part: string
}

/** The span that is looked at: from the start of a day to an instant. */
export interface ReadingSpan {
  readonly fromOn: Day
  readonly until: Date
  readonly zone: string
}

/** Readings that should have come and did not, in time order; a part of a day that is not over is not missing. */
export function missingReadings(
  readAt: readonly Date[],
  { fromOn, until, zone }: ReadingSpan,
  rules: ColdChainRules,
): readonly MissingReading[] {
  const read = readAt.map((at) => localTimeAt(at, zone))
  const end = localTimeAt(until, zone)
  const missing: MissingReading[] = []
  for (let on = fromOn; on <= end.day; on = addDays(on, 1)) {
    for (const { code, fromMinute, toMinute } of rules.readings) {
      const isOver = on < end.day || toMinute <= end.minute
      const isRead = read.some(({ day, minute }) => day === on && minute >= fromMinute && minute < toMinute)
      if (isOver && !isRead) missing.push({ on, part: code })
    }
  }
  return missing
}
