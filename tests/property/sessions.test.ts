import fc from 'fast-check'
import { addDays, mustParseDay, weekday } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import {
  expandSessions,
  firstSession,
  isSessionDay,
  lastSession,
  parseSessionCalendar,
  sessionsFrom,
} from '../../src/core/sessions/session-calendar.ts'
import type { SessionCalendar } from '../../src/core/sessions/session-calendar.ts'

const START = mustParseDay('2026-01-01')
const RUNS = { numRuns: 1000 }
const WEEKDAYS = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU']

const day = fc.integer({ min: 0, max: 700 }).map((days) => addDays(START, days))
const days = fc.array(day, { maxLength: 5 })

const weekly = fc
  .tuple(fc.integer({ min: 1, max: 6 }), fc.subarray(WEEKDAYS, { minLength: 1 }))
  .map(([interval, names]) => `FREQ=WEEKLY;INTERVAL=${interval};BYDAY=${names.join(',')}`)
const monthly = fc
  .tuple(fc.integer({ min: 1, max: 4 }), fc.constantFrom(...WEEKDAYS))
  .map(([nth, name]) => `FREQ=MONTHLY;BYDAY=${nth}${name}`)
const dated = fc.integer({ min: 1, max: 31 }).map((dayOfMonth) => `FREQ=MONTHLY;BYMONTHDAY=${dayOfMonth}`)
const rule = fc.oneof(weekly, monthly, dated)

const calendar: fc.Arbitrary<SessionCalendar> = fc
  .record({ rules: fc.array(rule, { maxLength: 3 }), extraDays: days, exceptDays: days })
  .map((timetable) => {
    const parsed = parseSessionCalendar(timetable)
    if (parsed.kind === 'invalid') throw new Error(parsed.problems.map(({ detail }) => detail).join())
    return parsed.calendar
  })

const stretch = fc
  .tuple(day, day)
  .map(([one, other]): [Day, Day] => (one < other ? [one, other] : [other, one]))

describe('session days', () => {
  test('come once each, in order, within the stretch, and never on a day taken out or a holiday', () => {
    fc.assert(
      fc.property(calendar, stretch, days, (given, [from, to], holidays) => {
        const found = expandSessions(given, from, to, holidays).days
        expect(found).toEqual([...new Set(found)].sort((a, b) => a - b))
        expect(found.every((each) => each >= from && each <= to)).toBe(true)
        expect(found.some((each) => given.exceptDays.includes(each) || holidays.includes(each))).toBe(false)
      }),
      RUNS,
    )
  })

  test('do not depend on the stretch they are looked for in', () => {
    fc.assert(
      fc.property(calendar, stretch, (given, [from, to]) => {
        const whole = expandSessions(given, START, addDays(START, 700)).days
        expect(expandSessions(given, from, to).days).toEqual(
          whole.filter((each) => each >= from && each <= to),
        )
      }),
      RUNS,
    )
  })

  test('are found around a day as a plain search finds them', () => {
    fc.assert(
      fc.property(calendar, day, (given, around) => {
        const sessions = expandSessions(given, START, addDays(START, 700))
        expect(firstSession(sessions, around)).toBe(sessions.days.find((each) => each >= around))
        expect(lastSession(sessions, around)).toBe(sessions.days.findLast((each) => each <= around))
        expect(isSessionDay(sessions, around)).toBe(sessions.days.includes(around))
        expect(sessionsFrom(sessions, around)).toEqual(sessions.days.filter((each) => each >= around))
      }),
      RUNS,
    )
  })

  test('of a weekly rule fall on its weekdays', () => {
    fc.assert(
      fc.property(fc.subarray(WEEKDAYS, { minLength: 1 }), (names) => {
        const parsed = parseSessionCalendar({
          rules: [`FREQ=WEEKLY;BYDAY=${names.join(',')}`],
          extraDays: [],
          exceptDays: [],
        })
        const found =
          parsed.kind === 'calendar' ? expandSessions(parsed.calendar, START, addDays(START, 27)).days : []
        expect(found).toHaveLength(names.length * 4)
        expect(found.every((each) => names.includes(WEEKDAYS[weekday(each) - 1] ?? ''))).toBe(true)
      }),
      RUNS,
    )
  })
})

describe('reading a timetable', () => {
  const part = fc.oneof(
    fc.constantFrom(
      'FREQ=WEEKLY',
      'FREQ=MONTHLY',
      'FREQ=YEARLY',
      'FREQ=DAILY',
      'BYDAY=TU',
      'BYDAY=2TU',
      'COUNT=3',
    ),
    fc.constantFrom(
      'INTERVAL=2',
      'UNTIL=20261231',
      'BYMONTHDAY=30',
      'BYMONTH=2',
      'BYSETPOS=-1',
      'WKST=SU',
      'BYYEARDAY=60',
    ),
    fc.string({ maxLength: 12 }),
  )
  const line = fc.oneof(
    fc.array(part, { maxLength: 5 }).map((parts) => parts.join(';')),
    fc.constantFrom(
      'DTSTART:20260131',
      'EXDATE;VALUE=DATE:20260406',
      'RDATE:20260101T090000',
      'RRULE:',
      'DTSTART:',
    ),
    fc.string(),
  )

  test('answers every text with a calendar that expands, or with what is wrong', () => {
    fc.assert(
      fc.property(fc.array(line, { maxLength: 4 }), (lines) => {
        const parsed = parseSessionCalendar({ rules: [lines.join('\n')], extraDays: [], exceptDays: [] })
        const answer =
          parsed.kind === 'calendar'
            ? expandSessions(parsed.calendar, START, addDays(START, 400)).days.length >= 0
            : parsed.problems.every(({ detail }) => detail.endsWith('.'))
        expect(answer).toBe(true)
      }),
      RUNS,
    )
  })
})
