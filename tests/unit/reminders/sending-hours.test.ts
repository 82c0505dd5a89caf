import { mustParseDay } from '../../../src/core/days/day.ts'
import {
  closingAfter,
  maySendAt,
  nextSendingMoment,
  sendInstant,
  sendingHours,
  sendingMoment,
} from '../../../src/core/reminders/sending-hours.ts'
import type { SendingHours } from '../../../src/core/reminders/sending-hours.ts'
import { aPolicy } from '../../support/default-policy.ts'

/** The same hours on every day, or none. */
function daily(zone: string, from: string, until: string): SendingHours {
  const open = { from, until }
  const hours = {
    monday: open,
    tuesday: open,
    wednesday: open,
    thursday: open,
    friday: open,
    saturday: open,
    sunday: open,
  }
  return sendingHours(aPolicy({ hours }), zone)
}

const opening = (day: string, hours: SendingHours): string | undefined =>
  sendInstant(mustParseDay(day), hours)?.toISOString()
const next = (at: string, hours: SendingHours): string | undefined =>
  nextSendingMoment(new Date(at), hours)?.toISOString()

describe('the sending hours of a day', () => {
  // Offsets by the IANA time zone database, release 2025c.
  test.each([
    ['2026-04-24', 'Africa/Cairo', '2026-04-24T06:00:00.000Z'],
    ['2026-02-14', 'Africa/Casablanca', '2026-02-14T08:00:00.000Z'],
    ['2026-02-15', 'Africa/Casablanca', '2026-02-15T09:00:00.000Z'],
    ['2026-05-12', 'Pacific/Kiritimati', '2026-05-11T19:00:00.000Z'],
    ['2026-05-12', 'Etc/GMT+12', '2026-05-12T21:00:00.000Z'],
  ])('open at 09:00 on %s in %s, which is %s', (day, zone, expected) => {
    expect(opening(day, daily(zone, '09:00', '18:00'))).toBe(expected)
  })

  test('open after the leap where the clock leaps over the opening', () => {
    expect(opening('2026-04-24', daily('Africa/Cairo', '00:00', '18:00'))).toBe('2026-04-23T22:00:00.000Z')
  })

  test('do not open where the clock leaps over all of them', () => {
    expect(opening('2026-04-24', daily('Africa/Cairo', '00:00', '00:45'))).toBeUndefined()
    expect(opening('2026-03-29', daily('Europe/Berlin', '02:00', '03:00'))).toBeUndefined()
  })

  test('do not open on a day that a zone leaps over (Samoa had no 30 December 2011)', () => {
    expect(opening('2011-12-30', daily('Pacific/Apia', '09:00', '18:00'))).toBeUndefined()
  })

  test.each([
    ['2026-03-10T05:00:00Z', '2026-03-10T16:00:00.000Z'],
    ['2026-03-10T15:59:59Z', '2026-03-10T16:00:00.000Z'],
    // Closed: a text that is told so never leaves.
    ['2026-03-10T16:00:00Z', '2026-03-10T16:00:00.000Z'],
    ['2026-03-10T02:00:00Z', '2026-03-10T02:00:00.000Z'],
  ])('at %s they close at %s', (at, closing) => {
    const hours = daily('Africa/Nairobi', '08:00', '19:00')
    expect(closingAfter(new Date(at), hours).toISOString()).toBe(closing)
  })

  test('include their first minute and not their last', () => {
    const hours = daily('Africa/Nairobi', '08:00', '19:00')
    const times = ['04:59:59', '05:00:00', '15:59:59', '16:00:00']
    expect(times.map((time) => maySendAt(new Date(`2026-03-10T${time}Z`), hours))).toEqual([
      false,
      true,
      true,
      false,
    ])
  })

  test('may last until the end of the day', () => {
    const hours = daily('Africa/Nairobi', '08:00', '24:00')
    expect(maySendAt(new Date('2026-03-10T20:59:59Z'), hours)).toBe(true)
    expect(maySendAt(new Date('2026-03-10T21:00:00Z'), hours)).toBe(false)
  })
})

describe('the next moment at which a text may leave', () => {
  const hours = sendingHours(aPolicy({ holidays: ['2026-03-16', '2026-03-17'] }), 'Africa/Nairobi')

  // The policy that ships: 08:00 to 19:00, not on Sundays; Nairobi is three hours ahead of UTC.
  test.each([
    ['within the hours', '2026-03-10T10:15:00.000Z', '2026-03-10T10:15:00.000Z'],
    ['before the hours', '2026-03-10T01:00:00.000Z', '2026-03-10T05:00:00.000Z'],
    ['after the hours', '2026-03-10T16:00:00.000Z', '2026-03-11T05:00:00.000Z'],
    [
      'on Saturday night, over Sunday and two holidays',
      '2026-03-14T18:00:00.000Z',
      '2026-03-18T05:00:00.000Z',
    ],
  ])('%s', (_when, at, expected) => {
    expect(next(at, hours)).toBe(expected)
  })

  test('is not in sight when every day is a holiday', () => {
    const days = Array.from({ length: 90 }, (_, index) =>
      new Date(Date.UTC(2026, 2, 1 + index)).toISOString().slice(0, 10),
    )
    expect(next('2026-03-02T10:00:00Z', sendingHours(aPolicy({ holidays: days }), 'UTC'))).toBeUndefined()
  })

  test('is lost when it comes after the text is of use', () => {
    const evening = new Date('2026-03-10T17:00:00Z')
    const morning = new Date('2026-03-11T05:00:00Z')
    expect(sendingMoment(evening, morning, hours)).toEqual(morning)
    expect(sendingMoment(evening, new Date(morning.getTime() - 1), hours)).toBeUndefined()
  })
})
