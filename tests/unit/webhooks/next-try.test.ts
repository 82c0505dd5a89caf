import { MOST_TRIES, waitAfter } from '../../../src/core/webhooks/next-try.ts'

const HOUR = 3_600_000

test('waits grow from seconds to a day, and then nobody is called by itself any more', () => {
  const waits = Array.from({ length: MOST_TRIES }, (_, place) => waitAfter(place + 1, 0, null))

  expect(waits.slice(0, 3)).toEqual([5000, 60_000, 300_000])
  expect(waits.slice(-2)).toEqual([24 * HOUR, null])
  const numbers = waits.filter((wait) => wait !== null)
  expect(numbers).toEqual([...numbers].sort((a, b) => a - b))
})

test('chance makes a wait up to half longer, never shorter', () => {
  expect(waitAfter(2, 0.999999, null)).toBe(90_000)
  expect(waitAfter(2, 0.5, null)).toBe(75_000)
})

test('a receiver may ask for more time, up to a day, and never for less', () => {
  expect(waitAfter(1, 0, 7 * 60_000)).toBe(7 * 60_000)
  expect(waitAfter(1, 0, 1000 * HOUR)).toBe(24 * HOUR)
  expect(waitAfter(4, 0, 1)).toBe(30 * 60_000)
  expect(waitAfter(MOST_TRIES, 0, 60_000)).toBeNull()
})
