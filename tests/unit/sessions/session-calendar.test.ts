import { execFileSync } from 'node:child_process'
import { formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import {
  expandSessions,
  firstSession,
  isSessionDay,
  lastSession,
  parseSessionCalendar,
  sessionsFrom,
} from '../../../src/core/sessions/session-calendar.ts'
import type { SessionDays } from '../../../src/core/sessions/session-calendar.ts'

interface Timetable {
  readonly rules?: readonly string[]
  readonly extraDays?: readonly string[]
  readonly exceptDays?: readonly string[]
  readonly holidays?: readonly string[]
}

function expand(timetable: Timetable, from: string, to: string): SessionDays {
  const days = (texts: readonly string[] = []) => texts.map(mustParseDay)
  const parsed = parseSessionCalendar({
    rules: timetable.rules ?? [],
    extraDays: days(timetable.extraDays),
    exceptDays: days(timetable.exceptDays),
  })
  if (parsed.kind === 'invalid') throw new Error(parsed.problems.map(({ detail }) => detail).join(' '))
  return expandSessions(parsed.calendar, mustParseDay(from), mustParseDay(to), days(timetable.holidays))
}

const textsOf = (sessions: SessionDays): string[] => sessions.days.map(formatDay)
const daysOf = (rule: string, from: string, to: string): string[] =>
  textsOf(expand({ rules: [rule] }, from, to))

interface Recurrence {
  /** Where the days are published, or what else computes them. */
  readonly source: string
  readonly start: string
  readonly rule: string
  /** The last day looked at. */
  readonly to: string
  readonly days: string
}

const RECURRENCES: Recurrence[] = [
  {
    source: 'python-dateutil 2.9.0 agrees',
    start: '20260106',
    rule: 'FREQ=WEEKLY;INTERVAL=2;BYDAY=TU',
    to: '2026-03-31',
    days: '2026-01-06 2026-01-20 2026-02-03 2026-02-17 2026-03-03 2026-03-17 2026-03-31',
  },
  {
    source: 'python-dateutil 2.9.0 agrees',
    start: '20260101',
    rule: 'FREQ=MONTHLY;BYDAY=2TU',
    to: '2026-06-30',
    days: '2026-01-13 2026-02-10 2026-03-10 2026-04-14 2026-05-12 2026-06-09',
  },
  {
    source: 'python-dateutil 2.9.0 agrees',
    start: '20260105',
    rule: 'FREQ=MONTHLY;BYDAY=1MO;COUNT=6',
    to: '2027-12-31',
    days: '2026-01-05 2026-02-02 2026-03-02 2026-04-06 2026-05-04 2026-06-01',
  },
  {
    source: 'RFC 5545 §3.8.5.3',
    start: '19970922',
    rule: 'FREQ=MONTHLY;COUNT=6;BYDAY=-2MO',
    to: '1999-12-31',
    days: '1997-09-22 1997-10-20 1997-11-17 1997-12-22 1998-01-19 1998-02-16',
  },
  {
    source: 'RFC 5545 §3.8.5.3',
    start: '19970905',
    rule: 'FREQ=MONTHLY;COUNT=10;BYDAY=1FR',
    to: '1999-12-31',
    days: '1997-09-05 1997-10-03 1997-11-07 1997-12-05 1998-01-02 1998-02-06 1998-03-06 1998-04-03 1998-05-01 1998-06-05',
  },
  {
    source: 'RFC 5545 §3.8.5.3',
    start: '19970805',
    rule: 'FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO',
    to: '1998-12-31',
    days: '1997-08-05 1997-08-10 1997-08-19 1997-08-24',
  },
  {
    source: 'RFC 5545 §3.8.5.3',
    start: '19970805',
    rule: 'FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU',
    to: '1998-12-31',
    days: '1997-08-05 1997-08-17 1997-08-19 1997-08-31',
  },
  {
    source: 'RFC 5545 §3.8.5.3',
    start: '20070115',
    rule: 'FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5',
    to: '2008-12-31',
    days: '2007-01-15 2007-01-30 2007-02-15 2007-03-15 2007-03-30',
  },
  {
    source: 'RFC 5545 §3.8.5.3',
    start: '19970929',
    rule: 'FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2;COUNT=7',
    to: '1999-12-31',
    days: '1997-09-29 1997-10-30 1997-11-27 1997-12-30 1998-01-29 1998-02-26 1998-03-30',
  },
  {
    source: 'python-dateutil 2.9.0 agrees',
    start: '20260131',
    rule: 'FREQ=MONTHLY;COUNT=5',
    to: '2027-12-31',
    days: '2026-01-31 2026-03-31 2026-05-31 2026-07-31 2026-08-31',
  },
  {
    source: 'python-dateutil 2.9.0 agrees',
    start: '20260131',
    rule: 'FREQ=MONTHLY;BYMONTHDAY=-1;COUNT=5',
    to: '2027-12-31',
    days: '2026-01-31 2026-02-28 2026-03-31 2026-04-30 2026-05-31',
  },
  {
    source: 'python-dateutil 2.9.0 agrees',
    start: '20260101',
    rule: 'FREQ=MONTHLY;BYDAY=5FR;COUNT=4',
    to: '2027-12-31',
    days: '2026-01-30 2026-05-29 2026-07-31 2026-10-30',
  },
  {
    source: 'python-dateutil 2.9.0 agrees: a first day outside the rule is no session',
    start: '20260107',
    rule: 'FREQ=WEEKLY;BYDAY=TU',
    to: '2026-01-31',
    days: '2026-01-13 2026-01-20 2026-01-27',
  },
]

describe('a session calendar', () => {
  test.each(RECURRENCES)('expands as published ($source): $start $rule', ({ start, rule, to, days }) => {
    expect(daysOf(`DTSTART;VALUE=DATE:${start}\nRRULE:${rule}`, '1990-01-01', to).join(' ')).toBe(days)
  })

  test('counts before it takes days out (RFC 5545: COUNT bounds the rule, not the set)', () => {
    const rule = 'DTSTART:20260105T090000\nRRULE:FREQ=MONTHLY;BYDAY=1MO;COUNT=6\nEXDATE:20260406T090000'
    expect(daysOf(rule, '2026-01-01', '2027-12-31').join(' ')).toBe(
      '2026-01-05 2026-02-02 2026-03-02 2026-05-04 2026-06-01',
    )
  })

  test('leaves out its first day where an EXDATE names it (RFC 5545 §3.8.5.3, Friday the 13th)', () => {
    const rule =
      'DTSTART;TZID=America/New_York:19970902T090000\n' +
      'EXDATE;TZID=America/New_York:19970902T090000\n' +
      'RRULE:FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13'
    expect(daysOf(rule, '1997-01-01', '2000-12-31').join(' ')).toBe(
      '1998-02-13 1998-03-13 1998-11-13 1999-08-13 2000-10-13',
    )
  })

  test.each(['UNTIL=20260119', 'UNTIL=20260119T060000Z'])('includes the day of %s', (until) => {
    const rule = `DTSTART;VALUE=DATE:20260105\nRRULE:FREQ=WEEKLY;BYDAY=MO;${until}`
    expect(daysOf(rule, '2026-01-01', '2026-12-31')).toEqual(['2026-01-05', '2026-01-12', '2026-01-19'])
  })

  test('takes out a day whatever the clock time of its EXDATE', () => {
    const rule = 'DTSTART:20260105T090000\nRRULE:FREQ=WEEKLY;BYDAY=MO\nEXDATE;VALUE=DATE:20260112'
    expect(daysOf(rule, '2026-01-01', '2026-01-31')).toEqual(['2026-01-05', '2026-01-19', '2026-01-26'])
  })

  test('reads a rule with or without its name, in any case, folded or not', () => {
    const written = [
      'FREQ=MONTHLY;BYDAY=2TU',
      'RRULE:FREQ=MONTHLY;BYDAY=2TU',
      ' rrule:freq=monthly;byday=2tu\r\n',
      'RRULE:FREQ=MONTHLY;\r\n BYDAY=2TU',
    ]
    for (const rule of written) {
      expect(daysOf(rule, '2026-01-01', '2026-02-28')).toEqual(['2026-01-13', '2026-02-10'])
    }
  })

  test('counts intervals from Monday 1 January 2024 where a rule names no first day', () => {
    expect(daysOf('FREQ=WEEKLY;INTERVAL=2;BYDAY=MO', '2024-01-01', '2024-02-01')).toEqual([
      '2024-01-01',
      '2024-01-15',
      '2024-01-29',
    ])
  })

  test('joins several rules and added days, each day once and in order', () => {
    const timetable = {
      rules: ['FREQ=MONTHLY;BYDAY=2TU', 'FREQ=MONTHLY;BYMONTHDAY=13,20'],
      extraDays: ['2026-01-07'],
    }
    expect(textsOf(expand(timetable, '2026-01-01', '2026-01-31'))).toEqual([
      '2026-01-07',
      '2026-01-13',
      '2026-01-20',
    ])
  })

  test('holds no session on a day taken out or a holiday of the district, not even an added one', () => {
    const timetable = {
      rules: ['FREQ=WEEKLY;BYDAY=TU', 'RDATE;VALUE=DATE:20260108,20260115'],
      extraDays: ['2026-01-09'],
      exceptDays: ['2026-01-13', '2026-01-09'],
      holidays: ['2026-01-08', '2026-01-20'],
    }
    expect(textsOf(expand(timetable, '2026-01-01', '2026-01-31'))).toEqual([
      '2026-01-06',
      '2026-01-15',
      '2026-01-27',
    ])
  })

  test('is empty without rules and days', () => {
    expect(textsOf(expand({}, '2026-01-01', '2026-12-31'))).toEqual([])
  })

  test('finds the sessions around a day', () => {
    const sessions = expand({ rules: ['FREQ=WEEKLY;BYDAY=TU'] }, '2026-01-01', '2026-01-31')
    const day = mustParseDay

    expect(firstSession(sessions, day('2026-01-13'))).toBe(day('2026-01-13'))
    expect(firstSession(sessions, day('2026-01-14'))).toBe(day('2026-01-20'))
    expect(firstSession(sessions, day('2026-01-28'))).toBeUndefined()
    expect(lastSession(sessions, day('2026-01-13'))).toBe(day('2026-01-13'))
    expect(lastSession(sessions, day('2026-01-12'))).toBe(day('2026-01-06'))
    expect(lastSession(sessions, day('2026-01-05'))).toBeUndefined()
    expect(isSessionDay(sessions, day('2026-01-27'))).toBe(true)
    expect(isSessionDay(sessions, day('2026-01-26'))).toBe(false)
    expect(sessionsFrom(sessions, day('2026-01-14')).map(formatDay)).toEqual(['2026-01-20', '2026-01-27'])
  })

  test.each(['UTC', 'Asia/Kolkata', 'America/Bogota', 'Pacific/Kiritimati'])(
    'names the same days when the process runs in %s (jkbrzt/rrule#355)',
    (zone) => {
      const program = `
        import { parseSessionCalendar, expandSessions } from './src/core/sessions/session-calendar.ts'
        import { formatDay, mustParseDay } from './src/core/days/day.ts'
        const rules = ['DTSTART;TZID=Africa/Kampala:20260105T090000\\nRRULE:FREQ=MONTHLY;BYDAY=1MO']
        const { calendar } = parseSessionCalendar({ rules, extraDays: [], exceptDays: [] })
        const { days } = expandSessions(calendar, mustParseDay('2026-01-01'), mustParseDay('2026-03-31'))
        console.log(days.map(formatDay).join(' '))`
      const said = execFileSync(
        process.execPath,
        ['--import', 'tsx', '--input-type=module', '--eval', program],
        {
          env: { PATH: process.env['PATH'], TZ: zone },
          encoding: 'utf8',
        },
      )
      expect(said.trim()).toBe('2026-01-05 2026-02-02 2026-03-02')
    },
  )
})

describe('a session rule that cannot be used', () => {
  const REFUSED: [rule: string, advice: string][] = [
    ['', 'write a rule such as FREQ=WEEKLY;BYDAY=TU'],
    ['BYDAY=TU', 'add FREQ=WEEKLY'],
    ['every Tuesday', 'use FREQ'],
    ['FREQ=FORTNIGHTLY;BYDAY=TU', 'write FREQ=DAILY, FREQ=WEEKLY'],
    ['FREQ=HOURLY', 'write FREQ=DAILY, FREQ=WEEKLY'],
    ['FREQ=WEEKLY;BYDAY=XX', 'BYDAY= and weekdays from MO'],
    ['FREQ=WEEKLY;BYDAY=TU;BYDAY=WE', 'write each part once'],
    ['FREQ=WEEKLY;BYDAY=TU;', 'is not read here'],
    ['FREQ=WEEKLY;BYDAY=TU;BYHOUR=9', 'BYHOUR'],
    ['FREQ=WEEKLY;BYDAY=TU;INTERVAL=0', 'INTERVAL= and a number from 1'],
    ['FREQ=WEEKLY;BYDAY=2TU', 'FREQ=WEEKLY;INTERVAL=2;BYDAY=TU'],
    ['FREQ=WEEKLY;BYMONTHDAY=13', 'use FREQ=MONTHLY or FREQ=YEARLY'],
    ['FREQ=MONTHLY;BYMONTHDAY=32', 'days of the month from 1 to 31'],
    ['FREQ=MONTHLY;BYSETPOS=2', 'add BYDAY'],
    ['FREQ=MONTHLY;BYDAY=MO;BYMONTH=13', 'months from 1 to 12'],
    ['FREQ=WEEKLY;BYDAY=TU;UNTIL=2026-12-31', 'a date such as 20261231'],
    ['FREQ=WEEKLY;BYDAY=TU;UNTIL=20260230', 'a date such as 20261231'],
    ['DTSTART:20260106\nRRULE:FREQ=WEEKLY;COUNT=5;UNTIL=20261231', 'keep one of them'],
    ['FREQ=WEEKLY;BYDAY=TU;COUNT=5', 'add a line DTSTART'],
    ['FREQ=WEEKLY', 'add BYDAY=TU, or a line DTSTART'],
    ['DTSTART:6 January\nRRULE:FREQ=WEEKLY', 'write DTSTART;VALUE=DATE:20260106'],
    ['DTSTART:20260106\nDTSTART:20260113\nRRULE:FREQ=WEEKLY', 'write one first day'],
    ['EXDATE:20260406,spring', 'write EXDATE;VALUE=DATE:'],
    ['EXRULE:FREQ=WEEKLY;BYDAY=TU', 'write RRULE, DTSTART, RDATE or EXDATE'],
    ['FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30', 'No day fits it'],
    ['DTSTART:20260106\nRRULE:FREQ=WEEKLY;BYDAY=TU;UNTIL=20260101', 'No day fits it'],
  ]

  test.each(REFUSED)('is named, with what to write: %j', (rule, advice) => {
    const parsed = parseSessionCalendar({
      rules: ['FREQ=WEEKLY;BYDAY=TU', rule],
      extraDays: [],
      exceptDays: [],
    })

    expect(parsed).toEqual({
      kind: 'invalid',
      problems: [{ code: 'session-rule-invalid', rule, detail: expect.stringContaining(advice) as string }],
    })
  })

  test('is reported together with all others', () => {
    const parsed = parseSessionCalendar({ rules: ['FREQ=WEEKLY', 'BYDAY=TU'], extraDays: [], exceptDays: [] })
    expect(parsed.kind === 'invalid' && parsed.problems.map(({ rule }) => rule)).toEqual([
      'FREQ=WEEKLY',
      'BYDAY=TU',
    ])
  })
})
