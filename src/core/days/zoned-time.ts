import { IANAZone } from 'luxon'
import { formatMinute } from './clock-time.ts'
import type { Day } from './day.ts'

/** Where days and clocks meet instants. A zone is an IANA name that `isTimeZone` accepts. */

/** What calendar and clock show somewhere. */
export interface LocalTime {
  readonly day: Day
  /** Minutes since 00:00, from 0 to 1439. */
  readonly minute: number
}

const MS_PER_MINUTE = 60_000
const MS_PER_DAY = 86_400_000

export function isTimeZone(name: string): boolean {
  return IANAZone.isValidZone(name)
}

/** Since 1973 every clock has been set at a whole minute (IANA tz database; Liberia, in 1972, was the last that was not). */
const WHOLE_MINUTES_SINCE = 94_694_400_000
const MOST_KNOWN_OFFSETS = 20_000
/** Offsets by zone and minute: asking the calendar library costs more than the rest of planning a text. */
const knownOffsets = new Map<string, number>()

/** Milliseconds by which the clock of a zone is ahead of UTC at an instant. */
function offsetMs(at: number, zone: string): number {
  if (!(at >= WHOLE_MINUTES_SINCE)) return lookUpOffsetMs(at, zone)
  const minute = `${zone} ${Math.floor(at / MS_PER_MINUTE)}`
  const known = knownOffsets.get(minute)
  if (known !== undefined) return known
  const offset = lookUpOffsetMs(at, zone)
  if (knownOffsets.size >= MOST_KNOWN_OFFSETS) knownOffsets.clear()
  knownOffsets.set(minute, offset)
  return offset
}

function lookUpOffsetMs(at: number, zone: string): number {
  const offset = IANAZone.create(zone).offset(at)
  if (Number.isNaN(offset)) throw new RangeError(`not a time zone, or not an instant: ${zone}, ${at}`)
  return offset * MS_PER_MINUTE
}

/** What calendar and clock of a zone show at an instant. */
export function localTimeAt(instant: Date, zone: string): LocalTime {
  const local = instant.getTime() + offsetMs(instant.getTime(), zone)
  // Whole days since 1970-01-01 are what a Day is.
  const day = Math.floor(local / MS_PER_DAY) as Day
  return { day, minute: Math.floor((local - day * MS_PER_DAY) / MS_PER_MINUTE) }
}

/** An instant as a clock shows it, with its distance from UTC (RFC 3339): `2026-03-04T10:40:00+03:00`. */
export function formatInstant(instant: Date, zone: string): string {
  const offset = offsetMs(instant.getTime(), zone)
  const shown = new Date(instant.getTime() + offset).toISOString().slice(0, 'YYYY-MM-DDTHH:MM:SS'.length)
  return `${shown}${offset < 0 ? '-' : '+'}${formatMinute(Math.abs(offset) / MS_PER_MINUTE)}`
}

/** The civil day of an instant in a zone. */
export function dayAt(instant: Date, zone: string): Day {
  return localTimeAt(instant, zone).day
}

/**
 * The instant at which a clock shows a time. Of a time it shows twice, when it is set back, the first; a time it
 * leaps over, when it is set forward, moves on by the length of the leap. The answer never depends on the process:
 * luxon's own choice between two offsets does, on the season in which it runs.
 */
export function instantOf({ day, minute }: LocalTime, zone: string): Date {
  const shown = day * MS_PER_DAY + minute * MS_PER_MINUTE
  const before = offsetMs(shown - MS_PER_DAY, zone)
  const after = offsetMs(shown + MS_PER_DAY, zone)
  if (before === after) return new Date(shown - before)
  const fitting = [before, after].filter((offset) => offsetMs(shown - offset, zone) === offset)
  return new Date(shown - (fitting.length > 0 ? Math.max(...fitting) : before))
}
