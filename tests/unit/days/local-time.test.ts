import { Settings } from 'luxon'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { dayAt, endOfDay, instantAt, startOfDay } from '../../../src/core/days/local-time.ts'

const on = mustParseDay

describe('instantAt', () => {
  test.each([
    ['2026-04-24', 9, 'Africa/Cairo', '2026-04-24T06:00:00.000Z'],
    ['2026-02-15', 9, 'Africa/Casablanca', '2026-02-15T09:00:00.000Z'],
    ['2026-02-14', 9, 'Africa/Casablanca', '2026-02-14T08:00:00.000Z'],
    ['2026-02-14', 9, 'Pacific/Kiritimati', '2026-02-13T19:00:00.000Z'],
  ])('%s %i:00 in %s is %s (IANA time zone database)', (day, hour, zone, instant) => {
    expect(instantAt(on(day), hour, 0, zone).toISOString()).toBe(instant)
  })

  test('gives the earlier instant of a repeated clock time, in whatever season it is asked', () => {
    const seasons = ['2026-01-15T00:00:00Z', '2026-07-15T00:00:00Z'].map((now) => {
      Settings.now = () => Date.parse(now)
      return instantAt(on('2026-10-29'), 23, 30, 'Africa/Cairo').toISOString()
    })
    Settings.now = () => Date.now()

    expect(seasons).toEqual(['2026-10-29T20:30:00.000Z', '2026-10-29T20:30:00.000Z'])
  })

  test('refuses a zone that does not exist', () => {
    expect(() => instantAt(on('2026-01-01'), 9, 0, 'Africa/Nowhere')).toThrow(RangeError)
    expect(() => dayAt(new Date(0), 'Africa/Nowhere')).toThrow(RangeError)
  })
})

describe('a day', () => {
  test('starts at 01:00 where midnight is skipped (Cairo, 24 April 2026)', () => {
    expect(startOfDay(on('2026-04-24'), 'Africa/Cairo').toISOString()).toBe('2026-04-23T22:00:00.000Z')
  })

  test.each(['Africa/Cairo', 'America/Havana', 'Pacific/Kiritimati', 'Asia/Kathmandu', 'America/St_Johns'])(
    'ends on itself and touches the next, on every day of 2026 in %s',
    (zone) => {
      for (let day = on('2026-01-01'); day < on('2027-01-01'); day++) {
        expect(dayAt(startOfDay(day, zone), zone)).toBe(day)
        expect(dayAt(endOfDay(day, zone), zone)).toBe(day)
      }
    },
  )
})
