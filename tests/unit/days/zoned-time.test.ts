import fc from 'fast-check'
import { Settings } from 'luxon'
import { addDays, formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import { dayAt, instantOf, isTimeZone, localTimeAt } from '../../../src/core/days/zoned-time.ts'

/** The instant of `2026-04-24 09:00` in a zone, as ISO text. */
function instant(text: string, zone: string): string {
  const [day = '', hour = '', minute = ''] = text.split(/[ :]/)
  const local = { day: mustParseDay(day), minute: Number(hour) * 60 + Number(minute) }
  return instantOf(local, zone).toISOString()
}

describe('the clock of a zone', () => {
  test('is set at its very minute, asked again on either side of it', () => {
    // IANA time zone database: in Newfoundland the clock was set forward at 00:01 on 2010-03-14, of UTC-03:30.
    const minuteAt = (text: string) => localTimeAt(new Date(text), 'America/St_Johns').minute
    for (let time = 0; time < 2; time += 1) {
      expect(minuteAt('2010-03-14T03:30:00.000Z')).toBe(0)
      expect(minuteAt('2010-03-14T03:30:59.999Z')).toBe(0)
      expect(minuteAt('2010-03-14T03:31:00.000Z')).toBe(61)
    }
  })

  test('is right to the second in a year when clocks were not set at whole minutes', () => {
    // IANA time zone database: Liberia went from UTC-00:44:30 to UTC at 00:00 of its clock on 1972-01-07.
    const minuteAt = (text: string) => localTimeAt(new Date(text), 'Africa/Monrovia').minute
    expect(minuteAt('1972-01-07T00:44:29.000Z')).toBe(23 * 60 + 59)
    expect(minuteAt('1972-01-07T00:44:30.000Z')).toBe(44)
  })
})

describe('the instant of a wall-clock time', () => {
  // Offsets by the IANA time zone database, release 2025c; Morocco leaves +01 in Ramadan, Egypt changes at midnight.
  test.each([
    ['2026-04-24 09:00', 'Africa/Cairo', '2026-04-24T06:00:00.000Z'],
    ['2026-04-23 09:00', 'Africa/Cairo', '2026-04-23T07:00:00.000Z'],
    ['2026-02-14 09:00', 'Africa/Casablanca', '2026-02-14T08:00:00.000Z'],
    ['2026-02-15 09:00', 'Africa/Casablanca', '2026-02-15T09:00:00.000Z'],
    ['2026-01-05 09:00', 'Africa/Kampala', '2026-01-05T06:00:00.000Z'],
    ['2026-03-10 09:00', 'Asia/Kathmandu', '2026-03-10T03:15:00.000Z'],
    ['2026-03-10 09:00', 'Pacific/Kiritimati', '2026-03-09T19:00:00.000Z'],
    ['2026-03-10 09:00', 'Etc/GMT+12', '2026-03-10T21:00:00.000Z'],
  ])('%s in %s is %s', (text, zone, expected) => {
    expect(instant(text, zone)).toBe(expected)
  })

  test('moves on by the leap where the clock leaps over it', () => {
    expect(instant('2026-04-24 00:00', 'Africa/Cairo')).toBe('2026-04-23T22:00:00.000Z')
    expect(instant('2026-03-29 02:30', 'Europe/Berlin')).toBe('2026-03-29T01:30:00.000Z')
  })

  test('is the first of two, whatever the season in which the program runs (moment/luxon getPossibleOffsets)', () => {
    const realNow = Settings.now
    try {
      for (const season of ['2026-01-15', '2026-07-15']) {
        Settings.now = () => Date.parse(season)
        expect(instant('2026-10-29 23:30', 'Africa/Cairo')).toBe('2026-10-29T20:30:00.000Z')
      }
    } finally {
      Settings.now = realNow
    }
  })

  test('is the first at which the clock shows the time, in every zone, by trying every offset there is', () => {
    const zones = [...Intl.supportedValuesOf('timeZone'), 'UTC', 'Etc/GMT+12', 'Etc/GMT-14']
    const offsets = Array.from({ length: 105 }, (_, quarter) => quarter * 15 - 12 * 60)
    const day = fc.integer({ min: 0, max: 7300 }).map((days) => addDays(mustParseDay('2020-01-01'), days))
    const local = fc.record({ day, minute: fc.integer({ min: 0, max: 1439 }) })

    fc.assert(
      fc.property(fc.constantFrom(...zones), local, (zone, time) => {
        const [first] = offsets
          .map((offset) => new Date((time.day * 1440 + time.minute - offset) * 60_000))
          .filter((at) => JSON.stringify(localTimeAt(at, zone)) === JSON.stringify(time))
          .sort((a, b) => a.getTime() - b.getTime())
        const found = instantOf(time, zone)
        const shown = localTimeAt(found, zone)
        // Where no offset fits, the clock leaps over the time.
        if (first === undefined)
          expect(shown.day * 1440 + shown.minute).toBeGreaterThan(time.day * 1440 + time.minute)
        else expect(found).toEqual(first)
      }),
      { numRuns: 2000 },
    )
  })
})

describe('the civil day of an instant', () => {
  test('differs by two days between the ends of the world', () => {
    const noon = new Date('2026-03-10T11:30:00Z')
    expect(formatDay(dayAt(noon, 'Pacific/Kiritimati'))).toBe('2026-03-11')
    expect(formatDay(dayAt(noon, 'Etc/GMT+12'))).toBe('2026-03-09')
  })

  test('is refused in a zone that does not exist', () => {
    expect(isTimeZone('Africa/Addis_Ababa')).toBe(true)
    expect(isTimeZone('Africa/Adis_Abeba')).toBe(false)
    expect(() => dayAt(new Date(0), 'Africa/Adis_Abeba')).toThrow('not a time zone')
  })
})
