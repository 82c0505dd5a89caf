import { mustParseDay } from '../../../src/core/days/day.ts'
import { cumulative, cumulativeTarget } from '../../../src/core/coverage/monitoring-line.ts'
import { isWholeMonths, shareOfYear } from '../../../src/core/coverage/report-window.ts'
import type { VillageTarget } from '../../../src/core/coverage/target.ts'
import { annualTarget } from '../../../src/core/coverage/target.ts'

const rates: VillageTarget = {
  kind: 'rates',
  population: 10_000,
  birthsPer1000: 40,
  infantDeathsPer1000Births: 80,
}

describe('annualTarget', () => {
  // E7; formula: WHO mid-level management modules and Immunization in practice (from memory), numbers chosen here.
  test('E7: 10 000 people, 40 births and 80 infant deaths per 1000 give 400 births and 368 surviving infants', () => {
    expect(annualTarget(rates, 'live-births')).toBe(400)
    expect(annualTarget(rates, 'surviving-infants')).toBe(368)
    expect((annualTarget(rates, 'surviving-infants') ?? 0) / 12).toBeCloseTo(30.7, 1)
  })

  test('keeps the fraction of a small village', () => {
    const small: VillageTarget = { ...rates, population: 437, birthsPer1000: 38.5 }
    expect(annualTarget(small, 'live-births')).toBeCloseTo(16.8245, 10)
    expect(annualTarget(small, 'surviving-infants')).toBeCloseTo(15.47854, 10)
  })

  test('takes counts the authority entered as they are, each base on its own', () => {
    const entered: VillageTarget = { kind: 'entered', liveBirths: 52, survivingInfants: null }
    expect(annualTarget(entered, 'live-births')).toBe(52)
    expect(annualTarget(entered, 'surviving-infants')).toBeNull()
  })

  test('is unknown, never guessed, where nothing or not enough was stated', () => {
    expect(annualTarget({ kind: 'none' }, 'live-births')).toBeNull()
    expect(annualTarget({ ...rates, infantDeathsPer1000Births: null }, 'surviving-infants')).toBeNull()
  })
})

describe('shareOfYear', () => {
  const period = (fromOn: string, toOn: string): number =>
    shareOfYear({ kind: 'period', fromOn: mustParseDay(fromOn), toOn: mustParseDay(toOn) })

  test.each([
    ['2025-01-01', '2025-12-31', 1],
    ['2024-02-01', '2024-02-29', 1 / 12],
    ['2025-03-01', '2025-05-31', 3 / 12],
    ['2024-07-01', '2026-06-30', 2],
    ['2025-04-16', '2025-04-30', 0.5 / 12],
    ['2025-12-17', '2026-01-31', (15 / 31 + 1) / 12],
  ])('%s to %s is %d of a year', (fromOn, toOn, share) => {
    expect(period(fromOn, toOn)).toBeCloseTo(share, 12)
  })

  test('a cohort and the whole register stand against one year', () => {
    expect(shareOfYear({ kind: 'cohort', birthYear: 2025 })).toBe(1)
    expect(shareOfYear({ kind: 'register' })).toBe(1)
  })
})

test.each([
  ['2025-01-01', '2025-12-31', true],
  ['2024-02-01', '2024-02-29', true],
  ['2024-02-01', '2024-02-28', false],
  ['2024-02-02', '2024-02-29', false],
])('whole months: %s to %s is %s', (fromOn, toOn, expected) => {
  expect(isWholeMonths(mustParseDay(fromOn), mustParseDay(toOn))).toBe(expected)
})

describe('monitoring line', () => {
  // E9; rule: Immunization in practice 2015, module 7 §3.1 (from memory), numbers chosen here.
  test('E9: a target of 156 a year climbs by 13 a month to 156 in December', () => {
    expect(cumulativeTarget(156)).toEqual([13, 26, 39, 52, 65, 78, 91, 104, 117, 130, 143, 156])
  })

  test('the gap between two running totals is the number who dropped out', () => {
    const first = cumulative([12, 14, 10])
    const third = cumulative([9, 13, 8])
    expect(first).toEqual([12, 26, 36])
    expect(first.map((total, month) => total - (third[month] ?? 0))).toEqual([3, 4, 6])
  })
})
