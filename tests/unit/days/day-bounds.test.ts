import { mustParseDay } from '../../../src/core/days/day.ts'
import { endOfDay, startOfDay } from '../../../src/core/days/day-bounds.ts'
import { dayAt } from '../../../src/core/days/zoned-time.ts'

const on = mustParseDay

describe('a day in a zone', () => {
  test('starts at 01:00 where midnight is skipped (Cairo, 24 April 2026; IANA time zone database)', () => {
    expect(startOfDay(on('2026-04-24'), 'Africa/Cairo').toISOString()).toBe('2026-04-23T22:00:00.000Z')
  })

  test.each(['Africa/Cairo', 'America/Havana', 'Pacific/Kiritimati', 'Asia/Kathmandu', 'America/St_Johns'])(
    'starts and ends on itself, on every day of 2026 in %s',
    (zone) => {
      for (let day = on('2026-01-01'); day < on('2027-01-01'); day++) {
        expect(dayAt(startOfDay(day, zone), zone)).toBe(day)
        expect(dayAt(new Date(startOfDay(day, zone).getTime() - 1), zone)).toBe(day - 1)
        expect(dayAt(endOfDay(day, zone), zone)).toBe(day)
      }
    },
  )
})
