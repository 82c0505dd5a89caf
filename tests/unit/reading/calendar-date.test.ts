import { mustParseDay } from '../../../src/core/days/day.ts'
import {
  dateInCalendar,
  dayInCalendar,
  monthNames,
  weekdayNames,
} from '../../../src/core/reading/calendar-date.ts'

// Days and dates of Unicode CLDR 48 by ICU 78.2; new year's days also stand in printed Ethiopian calendars.
const DATES = [
  ['ethiopic', { year: 2016, month: 1, dayOfMonth: 1 }, '2023-09-12'],
  ['ethiopic', { year: 2017, month: 1, dayOfMonth: 1 }, '2024-09-11'],
  ['ethiopic', { year: 2019, month: 1, dayOfMonth: 1 }, '2026-09-11'],
  ['ethiopic', { year: 2018, month: 13, dayOfMonth: 1 }, '2026-09-06'],
  ['ethiopic', { year: 2018, month: 13, dayOfMonth: 5 }, '2026-09-10'],
  ['ethiopic', { year: 2019, month: 13, dayOfMonth: 6 }, '2027-09-11'],
  ['buddhist', { year: 2569, month: 9, dayOfMonth: 11 }, '2026-09-11'],
  ['persian', { year: 1405, month: 6, dayOfMonth: 20 }, '2026-09-11'],
  ['islamic-umalqura', { year: 1448, month: 3, dayOfMonth: 29 }, '2026-09-11'],
  ['gregory', { year: 2024, month: 2, dayOfMonth: 29 }, '2024-02-29'],
] as const

describe('dayInCalendar', () => {
  test.each(DATES)('%s %p is %s', (calendar, date, day) => {
    expect(dayInCalendar(date, calendar)).toBe(mustParseDay(day))
    expect(dateInCalendar(mustParseDay(day), calendar)).toEqual(date)
  })

  test.each([
    ['ethiopic', { year: 2018, month: 13, dayOfMonth: 6 }],
    ['ethiopic', { year: 2019, month: 3, dayOfMonth: 31 }],
    ['persian', { year: 1405, month: 12, dayOfMonth: 30 }],
    ['islamic-umalqura', { year: 1448, month: 3, dayOfMonth: 31 }],
    ['buddhist', { year: 2569, month: 2, dayOfMonth: 29 }],
    ['gregory', { year: 2026, month: 2, dayOfMonth: 29 }],
    ['ethiopic', { year: 3000, month: 1, dayOfMonth: 1 }],
  ] as const)('there is no %s %p', (calendar, date) => {
    expect(dayInCalendar(date, calendar)).toBeUndefined()
  })
})

test('monthNames has thirteen months for Ethiopia and twelve for the others', () => {
  const months = (calendar: string): Set<number> =>
    new Set(monthNames('en', calendar).map(([, { month }]) => month))

  expect(months('ethiopic').size).toBe(13)
  expect(months('islamic-umalqura').size).toBe(12)
  expect(months('gregory').size).toBe(12)
})

test('weekdayNames counts from Monday', () => {
  expect(weekdayNames('en')).toContainEqual(['Monday', 1])
  expect(weekdayNames('fr')).toContainEqual(['dimanche', 7])
})
