import type { Day } from '../days/day.ts'
import { localTimeAt } from '../days/zoned-time.ts'

/** What is known of the hour of a dose. */
export interface HourGiven {
  /** Minutes after midnight on the clock of the district. */
  readonly minute: number
  /** False: it was told at that hour, so it was given by then. */
  readonly isStated: boolean
}

/** What a record tells of when a dose was given. */
export interface DoseInTime {
  readonly givenOn: Day
  /** The hour as it was told; minutes after midnight. */
  readonly givenMinute: number | null
  /** When the report of the dose was sent. */
  readonly sentAt: Date | null
}

/** The hour of a dose: as told, else that of a report which came the same day. `null` where only the day is known. */
export function hourGiven({ givenOn, givenMinute, sentAt }: DoseInTime, zone: string): HourGiven | null {
  if (givenMinute !== null) return { minute: givenMinute, isStated: true }
  if (sentAt === null) return null
  const told = localTimeAt(sentAt, zone)
  return told.day === givenOn ? { minute: told.minute, isStated: false } : null
}
