import {
  attendanceRange,
  dosesForSessions,
  dosesForTarget,
  monthVials,
  sessionVials,
} from '../../../src/core/supplies/need.ts'
import { parseSupplyPlanning } from '../../../src/core/supplies/supply-planning.ts'
import { wastageFactor } from '../../../src/core/supplies/wastage.ts'
import { usableDoses, useFor } from '../../../src/core/vials/product.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { product, supplyPlanning } from '../../support/shipped-data.ts'

const always = { low: 1, expected: 1, high: 1 }

describe('doses for a year', () => {
  test('E3: 200 infants, 3 doses, 90 %, factor 1.33 need 718.2 doses (Ethiopia FMoH; one edition misprints 178)', () => {
    expect(dosesForTarget({ children: 200, dosesEach: 3, coveragePercent: 90, factor: 1.33 })).toBeCloseTo(
      718.2,
      9,
    )
  })

  test('E4: 285 infants, penta, 90 %, 5 % wastage need 808 doses with 1.05, 810 with 100/95 (Ethiopia FMoH; derived)', () => {
    const target = { children: 5700 * 0.05, dosesEach: 3, coveragePercent: 90 }

    expect(dosesForTarget({ ...target, factor: 1.05 })).toBeCloseTo(807.975, 9)
    expect(dosesForTarget({ ...target, factor: wastageFactor(5) })).toBeCloseTo(810, 9)
  })

  test('E5: 170 surviving infants, 3 doses need 510 before wastage (Ethiopia FMoH)', () => {
    expect(dosesForTarget({ children: 170, dosesEach: 3, coveragePercent: 100, factor: 1 })).toBe(510)
  })

  test('E6: 1 post, 48 weeks, 2 sessions, 1 vial of 10 need 960 (Ethiopia FMoH, table 5.4)', () => {
    expect(
      dosesForSessions({ posts: 1, weeks: 48, sessionsPerWeek: 2, vialsPerSession: 1, dosesPerVial: 10 }),
    ).toBe(960)
  })
})

describe('sessionVials', () => {
  test('rounds up to whole vials', () => {
    expect(sessionVials(10, { attendance: always, wastagePercent: 0, dosesPerVial: 10 }).expected).toBe(1)
    expect(sessionVials(11, { attendance: always, wastagePercent: 0, dosesPerVial: 10 }).expected).toBe(2)
  })

  test('does not open another vial for the dust of shares: 57 doses at 5 % fill six vials of 10', () => {
    expect(sessionVials(57, { attendance: always, wastagePercent: 5, dosesPerVial: 10 }).expected).toBe(6)
  })

  test('one child due is one vial, nobody due is none', () => {
    const figures = { attendance: { low: 0, expected: 0.1, high: 1 }, wastagePercent: 50, dosesPerVial: 20 }

    expect(sessionVials(1, figures)).toEqual({ low: 1, expected: 1, high: 1 })
    expect(sessionVials(0, figures)).toEqual({ low: 0, expected: 0, high: 0 })
  })

  test('a vial of five serves 20 fractional doses or 5 full ones', () => {
    const vial = product('ipv-5')
    const vialsFor = (vaccine: string) => {
      const use = useFor(vial, vaccine)
      if (use === undefined) throw new Error(vaccine)
      return sessionVials(40, { attendance: always, wastagePercent: 0, dosesPerVial: usableDoses(vial, use) })
        .expected
    }

    expect([vialsFor('FIPV'), vialsFor('IPV')]).toEqual([2, 8])
  })

  test('gives a range from past sessions', () => {
    const past = [
      { due: 20, came: 10 },
      { due: 10, came: 9 },
      { due: 0, came: 4 },
    ]
    const attendance = attendanceRange(past, always)

    expect(attendance).toEqual({ low: 0.5, expected: 19 / 30, high: 0.9 })
    expect(sessionVials(40, { attendance, wastagePercent: 0, dosesPerVial: 10 })).toEqual({
      low: 2,
      expected: 3,
      high: 4,
    })
  })

  test('a place without a history plans with the programme’s own figures', () => {
    expect(attendanceRange([], supplyPlanning.attendance)).toEqual(supplyPlanning.attendance)
    const three = Array.from({ length: 3 }, () => ({ due: 10, came: 5 }))
    expect(attendanceRange(three, supplyPlanning.attendance, 4)).toEqual(supplyPlanning.attendance)
    expect(attendanceRange(three, supplyPlanning.attendance, 3)).toMatchObject({ expected: 0.5 })
  })
})

describe('monthVials', () => {
  const figures = { attendance: always, wastagePercent: 0, dosesPerVial: 10 }

  test('vials that keep for days serve the next session', () => {
    expect(monthVials([4, 4, 2], figures, { kind: 'days', days: 28 }).expected).toBe(1)
  })

  test('vials that do not are opened afresh for each session', () => {
    expect(monthVials([4, 4, 2, 0], figures, { kind: 'hours', hours: 6 }).expected).toBe(3)
  })
})

describe('parseSupplyPlanning', () => {
  const shipped = readDataFile('supplies/planning.json') as object

  test.each([
    ['an unknown wastage set', { wastageInUse: 'none' }, 'wastageInUse names no set'],
    [
      'attendance out of order',
      { attendance: { low: 1, expected: 0.8, high: 0.9 } },
      'attendance is out of order',
    ],
    ['a set that leaves a product out', { wastageInUse: 'own', wastage: { own: [] } }, 'needs for each form'],
  ])('says what is wrong with %s', (_, change, problem) => {
    const checked = parseSupplyPlanning({ ...shipped, ...change })

    expect(checked.kind === 'invalid' && checked.problems.join()).toContain(problem)
  })
})
