import type { Day } from '../days/day.ts'
import type { SessionTimetable } from '../model.ts'
import { recurrenceDays } from './recurrence.ts'
import { parseSessionRule } from './session-rule.ts'
import type { SessionRule } from './session-rule.ts'

/** A timetable whose rules are proven. */
export interface SessionCalendar {
  readonly rules: readonly SessionRule[]
  readonly extraDays: readonly Day[]
  readonly exceptDays: readonly Day[]
}

export interface SessionRuleProblem {
  readonly code: 'session-rule-invalid'
  /** The rule as it was given. */
  readonly rule: string
  /** What is wrong with it and what to write. */
  readonly detail: string
}

export type ParsedSessionCalendar =
  | { readonly kind: 'calendar'; readonly calendar: SessionCalendar }
  | { readonly kind: 'invalid'; readonly problems: readonly SessionRuleProblem[] }

/** Proves every rule of a timetable; all problems are reported at once. */
export function parseSessionCalendar(timetable: SessionTimetable): ParsedSessionCalendar {
  const rules: SessionRule[] = []
  const problems: SessionRuleProblem[] = []
  for (const text of timetable.rules) {
    const parsed = parseSessionRule(text)
    if (parsed.kind === 'rule') rules.push(parsed.rule)
    else problems.push({ code: 'session-rule-invalid', rule: text, detail: parsed.detail })
  }
  const { extraDays, exceptDays } = timetable
  return problems.length > 0
    ? { kind: 'invalid', problems }
    : { kind: 'calendar', calendar: { rules, extraDays, exceptDays } }
}

/** The session days of a place from one day to another, both included: each once, in order. */
export interface SessionDays {
  readonly from: Day
  readonly to: Day
  readonly days: readonly Day[]
}

/**
 * Expands a calendar once, for many questions. A day taken out is never a session, whatever names it; `closedOn`
 * are the district's holidays.
 */
export function expandSessions(
  calendar: SessionCalendar,
  from: Day,
  to: Day,
  closedOn: readonly Day[] = [],
): SessionDays {
  const { rules, extraDays, exceptDays } = calendar
  const removed = new Set([...exceptDays, ...closedOn, ...rules.flatMap((rule) => rule.removedDays)])
  const named = new Set([
    ...rules.flatMap((rule) =>
      rule.recurrences.flatMap((recurrence) => recurrenceDays(recurrence, from, to)),
    ),
    ...[...extraDays, ...rules.flatMap((rule) => rule.addedDays)].filter((day) => day >= from && day <= to),
  ])
  const days = [...named].filter((day) => !removed.has(day)).sort((a, b) => a - b)
  return { from, to, days }
}

/** The first session on or after a day. */
export function firstSession({ days }: SessionDays, from: Day): Day | undefined {
  return days.find((day) => day >= from)
}

/** The last session on or before a day. */
export function lastSession({ days }: SessionDays, until: Day): Day | undefined {
  return days.findLast((day) => day <= until)
}

export function isSessionDay({ days }: SessionDays, day: Day): boolean {
  return days.includes(day)
}

/** The sessions on or after a day, in order. */
export function sessionsFrom({ days }: SessionDays, from: Day): readonly Day[] {
  return days.filter((day) => day >= from)
}
