import { absoluteTime } from '../../../../src/gateway/smpp/validity.ts'

describe('absoluteTime', () => {
  // SMPP 3.4 §7.1.1.
  test.each([
    ['2026-05-06T10:20:30Z', '260506102030000+'],
    ['2026-12-31T23:59:59.900Z', '261231235959900+'],
    ['2027-01-01T02:00:00+03:00', '261231230000000+'],
  ])('writes %s as %s, always in 16 characters', (instant, text) => {
    expect(absoluteTime(new Date(instant))).toBe(text)
    expect(text).toHaveLength(16)
  })
})
