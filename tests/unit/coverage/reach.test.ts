import { unreached, zeroDoseGoal } from '../../../src/core/coverage/reach.ts'

describe('unreached', () => {
  // E14; definition: WHO Global Health Observatory indicator 7792, Immunization Agenda 2030 IG2.1.
  test('E14: 368 surviving infants and 350 first DTP doses leave 18 zero-dose children', () => {
    expect(unreached(368, 350)).toEqual({ children: 18, surplus: 0 })
  })

  test('counts no negative children, and shows the surplus instead', () => {
    expect(unreached(368, 380)).toEqual({ children: 0, surplus: 12 })
  })

  test('is unknown without a target', () => {
    expect(unreached(null, 12)).toBeNull()
  })
})

// E15; Immunization Agenda 2030 scorecard IG2.1: 12 926 000 in 2019, half of it by 2030.
test('E15: half of the 12 926 000 zero-dose children of 2019 is 6 463 000', () => {
  expect(zeroDoseGoal(12_926_000, 50)).toBe(6_463_000)
})
