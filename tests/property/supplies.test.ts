import fc from 'fast-check'
import { attendanceRange, monthVials, sessionVials } from '../../src/core/supplies/need.ts'

const RUNS = { numRuns: 1000 }

const due = fc.nat(500)
const past = fc.array(fc.record({ due: fc.nat(60), came: fc.nat(80) }), { maxLength: 8 })
const figures = fc.record({
  attendance: past.map((sessions) => attendanceRange(sessions, { low: 0.6, expected: 0.8, high: 1 })),
  wastagePercent: fc.double({ min: 0, max: 95, noNaN: true }),
  dosesPerVial: fc.constantFrom(1, 2, 4, 5, 10, 20, 40),
})

describe('sessionVials', () => {
  test('grows with the children', () => {
    fc.assert(
      fc.property(due, fc.nat(100), figures, (children, more, of) => {
        const [fewer, greater] = [sessionVials(children, of), sessionVials(children + more, of)]
        expect(greater.low).toBeGreaterThanOrEqual(fewer.low)
        expect(greater.expected).toBeGreaterThanOrEqual(fewer.expected)
        expect(greater.high).toBeGreaterThanOrEqual(fewer.high)
      }),
      RUNS,
    )
  })

  test('is never below one vial when someone is due, and whole', () => {
    fc.assert(
      fc.property(due, figures, (children, of) => {
        const { low, expected, high } = sessionVials(children, of)
        expect(low).toBeGreaterThanOrEqual(Math.min(children, 1))
        expect([low, expected, high].every(Number.isInteger)).toBe(true)
      }),
      RUNS,
    )
  })

  test('keeps its range in order, and holds the doses it was asked for', () => {
    fc.assert(
      fc.property(due, figures, (children, of) => {
        const { low, expected, high } = sessionVials(children, of)
        expect(low).toBeLessThanOrEqual(expected)
        expect(expected).toBeLessThanOrEqual(high)
        expect(high * of.dosesPerVial + 1e-6).toBeGreaterThanOrEqual(children * of.attendance.high)
      }),
      RUNS,
    )
  })
})

describe('monthVials', () => {
  test('vials that keep are never more than vials opened afresh', () => {
    fc.assert(
      fc.property(fc.array(due, { maxLength: 12 }), figures, (dues, of) => {
        const kept = monthVials(dues, of, { kind: 'days', days: 28 })
        const afresh = monthVials(dues, of, { kind: 'hours', hours: 6 })
        expect(kept.expected).toBeLessThanOrEqual(afresh.expected)
      }),
      RUNS,
    )
  })
})
