import { coverageRatio, wilsonInterval } from '../../../src/core/coverage/coverage-ratio.ts'
import { percentText, showRatio } from '../../../src/core/coverage/shown-ratio.ts'

describe('coverageRatio', () => {
  test('shows more than 100 % as it is and flags it', () => {
    expect(coverageRatio(21, 20, 10)).toEqual({
      numerator: 21,
      denominator: 20,
      percent: 105,
      flags: ['over-100'],
    })
  })

  test('without a target there is a count, no percentage and a flag', () => {
    expect(coverageRatio(21, null, 10)).toMatchObject({
      numerator: 21,
      percent: null,
      flags: ['no-denominator'],
    })
    expect(coverageRatio(0, 0, 10)).toMatchObject({
      denominator: 0,
      percent: null,
      flags: ['no-denominator'],
    })
  })

  test.each([
    [9.99, ['small-number']],
    [10, []],
  ])('a denominator of %d has flags %j', (denominator, flags) => {
    expect(coverageRatio(4, denominator, 10).flags).toEqual(flags)
  })
})

describe('wilsonInterval', () => {
  // Derived by hand from E. B. Wilson's formula of 1927 with z = 1.96.
  test.each([
    [18, 20, 69.9, 97.2],
    [20, 20, 83.9, 100],
    [0, 20, 0, 16.1],
    [7, 10, 39.7, 89.2],
    [160, 200, 73.9, 85],
  ])('%d of %d lies between %d and %d %%', (numerator, denominator, low, high) => {
    const interval = wilsonInterval(numerator, denominator)
    expect(interval?.low).toBeCloseTo(low, 1)
    expect(interval?.high).toBeCloseTo(high, 1)
  })

  test('is unknown for what is no share', () => {
    expect(wilsonInterval(11, 10)).toBeNull()
    expect(wilsonInterval(0, 0)).toBeNull()
  })
})

describe('showRatio', () => {
  const shown = (numerator: number, denominator: number | null) =>
    showRatio(coverageRatio(numerator, denominator, 10), [80])

  test('prints one decimal, halves upward', () => {
    expect(shown(160, 200)).toEqual({ kind: 'percent', text: '80.0' })
    expect(shown(161, 2000)).toEqual({ kind: 'percent', text: '8.1' })
    expect(shown(23, 20)).toEqual({ kind: 'percent', text: '115.0' })
  })

  // Boundary of standards: derived; a figure and its class must agree.
  test('79.96 % does not print as 80 when 80 parts good from poor', () => {
    expect(percentText(1999, 2500)).toBe('80.0')
    expect(percentText(1999, 2500, [80])).toBe('79.9')
    expect(percentText(2000, 2500, [80])).toBe('80.0')
  })

  test('a dropout of 9.96 % does not print as 10 when 10 is poor', () => {
    expect(percentText(249, 2500, [10])).toBe('9.9')
  })

  test('a negative percentage is rounded like its opposite', () => {
    expect(percentText(-1, 8)).toBe('-12.5')
    expect(percentText(-9, 80)).toBe('-11.3')
  })

  test('never shows a bare percentage for fewer than 10 children', () => {
    expect(shown(7, 9)).toEqual({ kind: 'count', text: '7/9', interval: '45.3–93.7' })
    expect(shown(7, 8.25)).toMatchObject({ kind: 'count', text: '7/8.3' })
    expect(shown(7, 10)).toEqual({ kind: 'percent', text: '70.0' })
  })

  test('shows a small count over 100 % without an interval, and a count alone without a target', () => {
    expect(shown(6, 5)).toEqual({ kind: 'count', text: '6/5', interval: null })
    expect(shown(6, null)).toEqual({ kind: 'no-denominator', text: '6' })
  })
})
