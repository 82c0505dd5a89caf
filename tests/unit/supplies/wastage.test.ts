import {
  closedVialWastage,
  dosesUsed,
  openVialWastage,
  totalWastagePercent,
  wastageFactor,
} from '../../../src/core/supplies/wastage.ts'
import { plannedWastagePercent } from '../../../src/core/supplies/supply-planning.ts'
import { product, supplyPlanning } from '../../support/shipped-data.ts'

describe('wastage formulas', () => {
  test('E1: 30 % wastage is a factor of 1.43 (Ethiopia FMoH, Immunization module 5.2.5)', () => {
    expect(wastageFactor(30)).toBeCloseTo(1.43, 2)
  })

  test('E2: 5 % wastage is a factor of 1.0526 (Ethiopia FMoH, SAQ 5.1)', () => {
    expect(wastageFactor(5)).toBe(100 / 95)
  })

  test('E10: 1 % closed over 3 levels and 15 % open make 17.5 % (formula: WHO concept note, April 2019)', () => {
    expect(totalWastagePercent(1, 3, 15)).toBeCloseTo(17.5, 1)
    expect(totalWastagePercent(1, 3, 15)).toBe(100 * (1 - 0.99 ** 3 * 0.85))
  })

  test('E11: 4 children from a 10-dose vial that cannot be kept waste 60 % (derived)', () => {
    expect(openVialWastage(10, 4)).toEqual({ percent: 60, isDataError: false })
  })

  test('E12: opening 100, received 200, closing 60, given 204 waste 15 % of 240 (formula: WHO 2018 facility data guide)', () => {
    const used = dosesUsed({ opening: 100, received: 200, closing: 60 })

    expect(used).toBe(240)
    expect(openVialWastage(used, 204)).toEqual({ percent: 15, isDataError: false })
  })

  test('E13: 210 given out of 200 used is shown as -5 % and flagged (rule: WHO 2018 facility data guide)', () => {
    expect(openVialWastage(200, 210)).toEqual({ percent: -5, isDataError: true })
  })

  test('18 of 25 fractional doses used are 28 % wastage (derived from 25 doses in a vial of five, Haldar et al., Bull WHO 2019)', () => {
    expect(openVialWastage(25, 18)).toEqual({ percent: 28, isDataError: false })
  })

  test('two children from a 5-dose vial that cannot be kept: fractional doses multiply what is thrown away', () => {
    expect(openVialWastage(5, 2).percent).toBe(60)
    expect(openVialWastage(25, 2).percent).toBe(92)
  })

  test('closed-vial wastage counts against the stock, open-vial wastage against what was used (I40, I41)', () => {
    expect(closedVialWastage(20, 400).percent).toBe(5)
  })

  test('nothing used has no rate; nothing used but something lost is an error', () => {
    expect(openVialWastage(0, 0)).toEqual({ percent: null, isDataError: false })
    expect(openVialWastage(0, 3)).toEqual({ percent: null, isDataError: true })
  })
})

describe('plannedWastagePercent', () => {
  test.each([
    ['hpv-1', 5],
    ['bcg-20', 50],
    ['mr-10', 50],
    ['mr-5', 10],
    ['penta-10', 25],
    ['ipv-10', 25],
    ['ipv-5', 10],
  ])('%s: %i %% (WHO indicative maximum rates, secondary)', (code, percent) => {
    expect(plannedWastagePercent(product(code), supplyPlanning)).toBe(percent)
  })

  test.each([
    ['bopv-20', 10],
    ['bcg-20', 50],
    ['mr-10', 25],
    ['pcv-1', 5],
    ['penta-10', 15],
  ])('%s: %i %% (Ethiopia FMoH, Box 5.1)', (code, percent) => {
    const planning = { ...supplyPlanning, wastageInUse: 'ethiopia' }

    expect(plannedWastagePercent(product(code), planning)).toBe(percent)
  })
})
