/** Days as an iCalendar file (RFC 5545). */
import ical, { ICalCalendarMethod } from 'ical-generator'
import { formatDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { instantOf } from '../core/days/zoned-time.ts'
import { minuteOf } from '../core/days/clock-time.ts'

export interface CalendarDay {
  /** The same day of the same thing keeps its identifier, so that a calendar changes it in place. */
  readonly id: string
  readonly on: Day
  /** `09:00-13:00`; null: the whole day. */
  readonly hours: string | null
  readonly summary: string
  readonly place: string
  readonly description: string | null
}

export interface CalendarHead {
  readonly name: string
  readonly zone: string
  /** When it was made. */
  readonly at: Date
}

const A_DAY_SECONDS = 86_400

/** A calendar of whole days and of hours; hours are written in UTC, so that no reader needs our time zone. */
export function calendarFile({ name, zone, at }: CalendarHead, days: readonly CalendarDay[]): string {
  const calendar = ical({
    name,
    method: ICalCalendarMethod.PUBLISH,
    prodId: { company: 'Duebell', product: 'session days', language: 'EN' },
    ttl: A_DAY_SECONDS,
  })
  for (const { id, on, hours, summary, place, description } of days)
    calendar.createEvent({
      id: `${id}@duebell`,
      stamp: at,
      summary,
      location: place,
      ...(description === null ? {} : { description }),
      ...timesOf(on, hours, zone),
    })
  return calendar.toString()
}

function timesOf(on: Day, hours: string | null, zone: string) {
  // The library reads a whole day in UTC.
  if (hours === null) return { start: new Date(`${formatDay(on)}T00:00:00Z`), allDay: true }
  const [from = '', until = ''] = hours.split('-')
  return {
    start: instantOf({ day: on, minute: minuteOf(from) }, zone),
    end: instantOf({ day: on, minute: minuteOf(until) }, zone),
  }
}
