import fc from 'fast-check'
import { availabilityOf, firstMinuteUp } from '../../../src/core/operation/availability.ts'
import type { HourUp } from '../../../src/core/operation/availability.ts'

const HOUR_MS = 3_600_000
const MINUTE_MS = 60_000
const START = Date.UTC(2026, 2, 1, 10)
const ALL = (1n << 60n) - 1n

const hour = (role: string, number: number, minutes: bigint): HourUp => ({
  role,
  hourMs: START + number * HOUR_MS,
  minutes,
})

describe('availability', () => {
  test('counts minutes in which every role worked, and tells the pauses', () => {
    const withoutMinutes3To5 = ALL & ~(0b111n << 3n)
    const hours = [hour('api', 0, withoutMinutes3To5), hour('sender', 0, ALL), hour('api', 1, ALL)]

    const { expectedMinutes, upMinutes, pauses } = availabilityOf(
      hours,
      ['api', 'sender'],
      START,
      START + 2 * HOUR_MS,
    )

    expect([expectedMinutes, upMinutes]).toEqual([120, 57])
    expect(pauses).toEqual([
      { fromMs: START + 3 * MINUTE_MS, minutes: 3 },
      { fromMs: START + HOUR_MS, minutes: 60 },
    ])
  })

  test('is not known where nothing was expected yet', () => {
    expect(availabilityOf([], ['api'], START, START)).toMatchObject({ ratio: null, pauses: [] })
  })

  test('what worked and what paused make up the whole, whatever was seen', () => {
    const masks = fc.array(fc.bigInt({ min: 0n, max: ALL }), { maxLength: 5 })
    fc.assert(
      fc.property(masks, fc.nat(300), fc.nat(300), (given, from, length) => {
        const hours = given.map((minutes, number) => hour('api', number, minutes))
        const fromMs = START + from * MINUTE_MS
        const { upMinutes, pauses } = availabilityOf(hours, ['api'], fromMs, fromMs + length * MINUTE_MS)
        const paused = pauses.reduce((sum, { minutes }) => sum + minutes, 0)
        expect(upMinutes + paused).toBe(length)
      }),
    )
  })

  test('begins with the first minute in which anything worked', () => {
    expect(firstMinuteUp([hour('api', 1, ALL), hour('sender', 0, 0b1000n)])).toBe(START + 3 * MINUTE_MS)
    expect(firstMinuteUp([hour('api', 0, 0n)])).toBeNull()
  })
})
