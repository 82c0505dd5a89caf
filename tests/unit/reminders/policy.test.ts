import { mustParseDay } from '../../../src/core/days/day.ts'
import { isDefaulter, parseReminderPolicy, remindersFor } from '../../../src/core/reminders/policy.ts'
import type { ReminderSubject } from '../../../src/core/reminders/policy.ts'
import { aPolicy, defaultPolicyFile } from '../../support/default-policy.ts'

const open = { from: '08:00', until: '19:00' }
const everyDay = {
  monday: open,
  tuesday: open,
  wednesday: open,
  thursday: open,
  friday: open,
  saturday: open,
}
const closed = { monday: null, tuesday: null, wednesday: null, thursday: null, friday: null, saturday: null }
const eve = (usefulUntil: object) => [{ audience: {}, reminders: { eve: { days: -1, usefulUntil } } }]

describe('a reminder policy', () => {
  test('that ships is sound', () => {
    expect(parseReminderPolicy(defaultPolicyFile)).toMatchObject({ kind: 'valid' })
  })

  test.each([
    [
      'a time that does not exist',
      { hours: { ...everyDay, sunday: { from: '08:60', until: '19:00' } } },
      'HH:MM',
    ],
    [
      'hours that end before they begin',
      { hours: { ...everyDay, sunday: { from: '19:00', until: '08:00' } } },
      'end',
    ],
    ['a forgotten weekday', { hours: everyDay }, 'hours.sunday'],
    ['no hours at all', { hours: { ...closed, sunday: null } }, 'One weekday needs hours'],
    ['a holiday that does not exist', { holidays: ['2026-02-30'] }, 'holidays.0'],
    [
      'texts that stop too early',
      { tries: { defaulterAfter: 3, atMost: 2, officerAfterDays: 28 } },
      'before the child is a defaulter',
    ],
    ['a text that is of no use', { rules: eve({ days: -2, at: '19:00' }) }, 'on its own day'],
    ['a kind that is not known', { rules: [{ audience: {}, reminders: { weekly: {} } }] }, 'weekly'],
    ['a word that is not known', { colour: 'red' }, 'colour'],
  ])('with %s is refused with the place', (_what, change, place) => {
    const checked = parseReminderPolicy({ ...defaultPolicyFile, ...change })
    expect(checked.kind === 'invalid' && checked.problems.join('; ')).toContain(place)
  })
})

describe('the rule that holds for a visit', () => {
  const step = { days: -1, usefulUntil: { days: 0, at: '09:00' } }
  const subject: ReminderSubject = {
    scheduleCode: 'who-2025-preferred',
    village: 'Amberfield',
    birthOn: mustParseDay('2025-06-10'),
    visitOn: mustParseDay('2026-03-10'),
    vaccines: ['BOPV', 'MR'],
  }
  const isReminded = (audience: object): boolean => {
    const policy = aPolicy({ rules: [{ audience, reminders: { eve: step } }] })
    return remindersFor(policy, subject).eve !== undefined
  }

  // The child is nine months old on the day of the visit (requirement REM-01: a matrix of parameters).
  test.each([
    [{}, true],
    [{ schedules: ['who-2025-preferred'] }, true],
    [{ schedules: ['hexavalent'] }, false],
    [{ villages: ['Amberfield', 'Birchwell'] }, true],
    [{ villages: ['Birchwell'] }, false],
    [{ vaccines: ['MR'] }, true],
    [{ vaccines: ['YF'] }, false],
    [{ ageMonths: { from: 9, below: 12 } }, true],
    [{ ageMonths: { from: 0, below: 9 } }, false],
    [{ ageMonths: { from: 10, below: 24 } }, false],
    [{ villages: ['Amberfield'], vaccines: ['MR'], ageMonths: { from: 9, below: 10 } }, true],
    [{ villages: ['Amberfield'], vaccines: ['YF'], ageMonths: { from: 9, below: 10 } }, false],
  ])('reaches the audience %j: %s', (audience, expected) => {
    expect(isReminded(audience)).toBe(expected)
  })

  test('is the first that fits', () => {
    const other = { days: -2, usefulUntil: { days: -1, at: '09:00' } }
    const policy = aPolicy({
      rules: [
        { audience: { vaccines: ['YF'] }, reminders: {} },
        { audience: { vaccines: ['MR'] }, reminders: { eve: other } },
        { audience: {}, reminders: { eve: step } },
      ],
    })
    expect(remindersFor(policy, subject).eve?.days).toBe(-2)
    expect(remindersFor(policy, { ...subject, vaccines: ['YF', 'MR'] })).toEqual({})
    expect(remindersFor(policy, { ...subject, vaccines: ['BCG'] }).eve?.days).toBe(-1)
  })
})

describe('a child that does not come', () => {
  test('is a defaulter at the set number of tries, not one earlier (requirement REM-10)', () => {
    const policy = aPolicy({ tries: { defaulterAfter: 3, atMost: 5, officerAfterDays: 28 } })
    expect([2, 3, 4].map((tries) => isDefaulter(policy, tries))).toEqual([false, true, true])
  })
})
