import { DateTime, type DurationLikeObject } from 'luxon'
import type { Clock } from '../../src/app/ports.ts'

/** A clock that stands still until a test moves it. */
export interface FixedClock extends Clock {
  readonly advance: (by: DurationLikeObject) => void
  readonly moveTo: (instant: string) => void
}

/**
 * A clock that stands at an ISO instant; without a zone the instant is read as UTC.
 * @example fixedClock('2026-05-11T09:00+03:00')
 */
export function fixedClock(instant: string): FixedClock {
  let now = read(instant)
  return {
    now: () => now.toJSDate(),
    advance: (by) => {
      now = now.plus(by)
    },
    moveTo: (to) => {
      now = read(to)
    },
  }
}

function read(instant: string): DateTime {
  const read = DateTime.fromISO(instant, { zone: 'utc' })
  if (!read.isValid) throw new Error(`not an instant: ${instant}`)
  return read
}
