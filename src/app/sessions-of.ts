import { addDays } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { SessionTimetable, Village } from '../core/model.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import { Refusal } from '../core/refusals.ts'
import { expandSessions, parseSessionCalendar } from '../core/sessions/session-calendar.ts'
import type { SessionDays } from '../core/sessions/session-calendar.ts'

/** Expanded timetables: few villages serve many children, and the same text always means the same days. */
const expanded = new Map<string, SessionDays>()
const MAX_EXPANDED = 5000

/** The session days of a village from a day on, as far ahead as visits are booked; holidays are none. */
export function sessionsOf(
  village: Pick<Village, 'sessions'>,
  from: Day,
  policy: ReminderPolicy,
): SessionDays {
  const { horizonDays, holidays } = policy
  const key = JSON.stringify([from, horizonDays, holidays, village.sessions])
  const known = expanded.get(key)
  if (known !== undefined) return known
  if (expanded.size >= MAX_EXPANDED) expanded.clear()
  const days = expandSessions(provenCalendar(village.sessions), from, addDays(from, horizonDays), holidays)
  expanded.set(key, days)
  return days
}

/** @throws {Refusal} session-rule-invalid */
export function provenCalendar(sessions: SessionTimetable) {
  const parsed = parseSessionCalendar(sessions)
  if (parsed.kind === 'calendar') return parsed.calendar
  throw new Refusal('session-rule-invalid', parsed.problems.map((problem) => problem.detail).join(' '))
}
