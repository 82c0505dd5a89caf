import { newIds, newSecret, random } from '../../../src/platform/ids.ts'

describe('newIds', () => {
  test('makes the layout of RFC 9562 §5.7: version 7, variant 10', () => {
    const id = newIds(() => new Date('2026-11-24T09:00:00Z'))()

    expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/)
  })

  test('starts with the milliseconds of the example in RFC 9562 appendix A.6', () => {
    // Tuesday, February 22, 2022 2:22:22.00 PM GMT-05:00 is 0x017F22E279B0 there.
    const id = newIds(() => new Date('2022-02-22T14:22:22-05:00'))()

    expect(id.slice(0, 13)).toBe('017f22e2-79b0')
  })

  test('sorts by time of making and never repeats', () => {
    let at = Date.UTC(2026, 0, 1)
    const newId = newIds(() => new Date(at++))

    const ids = Array.from({ length: 1000 }, newId)

    expect([...ids].sort()).toEqual(ids)
    expect(new Set(ids).size).toBe(1000)
  })

  test('sorts by order of making while the clock stands, also beyond what one millisecond can count', () => {
    const newId = newIds(() => new Date('2026-11-24T09:00:00Z'))

    const ids = Array.from({ length: 10_000 }, newId)

    expect([...ids].sort()).toEqual(ids)
  })
})

test('newSecret carries 256 bits in letters that need no escaping', () => {
  expect(newSecret()).toMatch(/^[\w-]{43}$/)
  expect(newSecret()).not.toBe(newSecret())
})

test('random stays below 1 and fills its range evenly', () => {
  const buckets = Array.from({ length: 10 }, () => 0)
  for (let i = 0; i < 10_000; i++) {
    const bucket = Math.floor(random() * 10)
    buckets[bucket] = (buckets[bucket] ?? 0) + 1
  }

  expect(buckets).toHaveLength(10)
  // 1000 expected in each; 200 is more than six standard deviations (binomial, 30).
  for (const count of buckets) expect(Math.abs(count - 1000)).toBeLessThan(200)
})
