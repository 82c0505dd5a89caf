import { mustParseDay } from '../../../src/core/days/day.ts'
import { doseFlags, givenBetween } from '../../../src/core/vials/dose-flags.ts'
import type { OpenVial } from '../../../src/core/vials/open-vial.ts'
import { product } from '../../support/shipped-data.ts'

const at = (text: string) => ({ earliest: new Date(text), latest: new Date(text) })

/** MR mixed at 08:40 in Nairobi (UTC+3), session over at 13:00. */
const vial: OpenVial = {
  product: product('mr-10'),
  openedAt: new Date('2026-03-03T05:40:00Z'),
  discardBy: { at: new Date('2026-03-03T10:00:00Z'), because: 'session-end' },
  drawnUnits: 3,
  discardedAt: null,
}

describe('doseFlags', () => {
  test('a dose within the time of its vial has no flag, whenever it is reported', () => {
    expect(doseFlags('MR', at('2026-03-03T09:59:00Z'), vial)).toEqual([])
  })

  test.each([
    ['after the end of its time', '2026-03-03T10:00:01Z', {}, 'past-time'],
    ['before it was opened', '2026-03-03T05:00:00Z', {}, 'before-opening'],
    [
      'from a vial of another vaccine',
      '2026-03-03T09:00:00Z',
      { product: product('bcg-20') },
      'other-vaccine',
    ],
    ['from an empty vial', '2026-03-03T09:00:00Z', { drawnUnits: 10 }, 'used-up'],
    [
      'after the vial was thrown away',
      '2026-03-03T09:00:00Z',
      { discardedAt: new Date('2026-03-03T08:00:00Z') },
      'discarded',
    ],
  ])('a dose %s is flagged for review', (...[, given, change, flag]) => {
    expect(doseFlags('MR', at(given), { ...vial, ...change })).toEqual([flag])
  })

  test('a dose of which only the day is known has the benefit of the whole day', () => {
    const sameDay = givenBetween(mustParseDay('2026-03-03'), null, 'Africa/Nairobi')
    const nextDay = givenBetween(mustParseDay('2026-03-04'), null, 'Africa/Nairobi')
    const dayBefore = givenBetween(mustParseDay('2026-03-02'), null, 'Africa/Nairobi')

    expect(doseFlags('MR', sameDay, vial)).toEqual([])
    expect(doseFlags('MR', nextDay, vial)).toEqual(['past-time'])
    expect(doseFlags('MR', dayBefore, vial)).toEqual(['before-opening'])
  })

  test('a dose of which the hour was told is judged by that hour', () => {
    const on = mustParseDay('2026-03-03')
    const atClock = (hour: number, minute: number) => givenBetween(on, hour * 60 + minute, 'Africa/Nairobi')

    expect(doseFlags('MR', atClock(13, 0), vial)).toEqual([])
    expect(doseFlags('MR', atClock(13, 1), vial)).toEqual(['past-time'])
    expect(doseFlags('MR', atClock(8, 39), vial)).toEqual(['before-opening'])
  })

  test('a dose on day 29 from a 28-day vial is flagged', () => {
    const kept: OpenVial = {
      ...vial,
      product: product('ipv-5'),
      openedAt: new Date('2026-03-03T06:30:00Z'),
      discardBy: { at: new Date('2026-03-31T06:30:00Z'), because: 'open-days' },
    }
    const onDay29 = givenBetween(mustParseDay('2026-04-01'), null, 'Africa/Nairobi')

    expect(doseFlags('FIPV', onDay29, kept)).toEqual(['past-time'])
  })
})
