import { reportingRate } from '../../../src/core/reactions/reporting-rate.ts'
import { alertRules } from '../../support/shipped-data.ts'

describe('reportingRate (fewer than 10 reports for each 100,000 surviving infants a year: WHO 2018 facility data guide)', () => {
  test.each([
    [10, 100_000, 1, 10, false],
    [9, 100_000, 1, 9, true],
    [1, 10_000, 1, 10, false],
    [5, 100_000, 0.5, 10, false],
    [0, 368, 1, 0, true],
  ])('%i reports from %i infants in %f years', (...[reports, infants, years, per100000, isTooLow]) => {
    expect(reportingRate(reports, infants, years, alertRules)).toEqual({ per100000, isTooLow })
  })

  test('without infants or time there is no rate and no alarm', () => {
    expect(reportingRate(3, 0, 1, alertRules)).toEqual({ per100000: null, isTooLow: false })
    expect(reportingRate(3, 100, 0, alertRules)).toEqual({ per100000: null, isTooLow: false })
  })
})
