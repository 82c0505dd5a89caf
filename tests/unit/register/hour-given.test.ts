import { mustParseDay } from '../../../src/core/days/day.ts'
import { hourGiven } from '../../../src/core/register/hour-given.ts'

const givenOn = mustParseDay('2026-03-03')
const zone = 'Africa/Nairobi'
/** 23:30 of 3 March in Nairobi (UTC+3). */
const sentAt = new Date('2026-03-03T20:30:00Z')

describe('the hour of a dose (requirement DOS-01)', () => {
  test('is the one that was told, whenever the report came', () => {
    expect(hourGiven({ givenOn, givenMinute: 640, sentAt }, zone)).toEqual({ minute: 640, isStated: true })
  })

  test('is at the latest that of a report of the same day, by the clock of the district', () => {
    const told = { minute: 23 * 60 + 30, isStated: false }
    expect(hourGiven({ givenOn, givenMinute: null, sentAt }, zone)).toEqual(told)
  })

  test('is not known of a dose that was reported on another day, or without a text', () => {
    const nextDay = new Date('2026-03-03T21:00:00Z')
    expect(hourGiven({ givenOn, givenMinute: null, sentAt: nextDay }, zone)).toBeNull()
    expect(hourGiven({ givenOn, givenMinute: null, sentAt: null }, zone)).toBeNull()
  })
})
