import { arrivalKeys } from '../../../src/gateway/arrival-keys.ts'

const MINUTE_MS = 60_000
let nowMs = 0
const clock = { now: () => new Date(nowMs) }

beforeEach(() => {
  nowMs = Date.parse('2026-03-15T09:09:30Z')
})

describe('arrivalKeys', () => {
  test('gives the same text within the window one key, also across the window of the clock', () => {
    const { keyOf } = arrivalKeys(clock, 10 * MINUTE_MS)
    const first = keyOf('+447700900123', 'WHEN')
    nowMs += 9 * MINUTE_MS

    expect(keyOf('+447700900123', 'WHEN')).toBe(first)
  })

  test('gives the same text a new key after the window', () => {
    const { keyOf } = arrivalKeys(clock, 10 * MINUTE_MS)
    const first = keyOf('+447700900123', 'WHEN')
    nowMs += 10 * MINUTE_MS

    expect(keyOf('+447700900123', 'WHEN')).not.toBe(first)
  })

  test('gives the same key after a restart', () => {
    const before = arrivalKeys(clock, 10 * MINUTE_MS).keyOf('a', Buffer.from([1, 2]))

    expect(arrivalKeys(clock, 10 * MINUTE_MS).keyOf('a', Buffer.from([1, 2]))).toBe(before)
  })

  test('does not let pieces run into each other', () => {
    const { keyOf } = arrivalKeys(clock, 10 * MINUTE_MS)

    expect(keyOf('ab', 'c')).not.toBe(keyOf('a', 'bc'))
  })
})
