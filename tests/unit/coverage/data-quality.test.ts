import { doseFlows } from '../../../src/core/coverage/flows.ts'
import { outliers } from '../../../src/core/coverage/outliers.ts'
import { promptness } from '../../../src/core/coverage/promptness.ts'
import { sessionCompletion } from '../../../src/core/coverage/sessions-held.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'

describe('outliers', () => {
  // WHO 2018 facility data guide: more than 3 standard deviations from the unit's mean of the year.
  test('finds the month that a slipped digit made tenfold', () => {
    expect(outliers([20, 22, 19, 21, 20, 200, 18, 20, 22, 21, 19, 20], 3)).toEqual([5])
  })

  test('finds none in an ordinary year, in equal months, or in one month', () => {
    expect(outliers([20, 22, 19, 21, 20, 26, 18, 20, 22, 21, 19, 20], 3)).toEqual([])
    expect(outliers([7, 7, 7, 7], 3)).toEqual([])
    expect(outliers([7], 3)).toEqual([])
  })

  // The largest deviation among n values is (n − 1)/√n (W. R. Thompson, 1935): 2.85 of 10, 3.02 of 11.
  test('cannot find one among fewer than eleven values, however odd', () => {
    expect(outliers([0, 0, 0, 0, 0, 0, 0, 0, 0, 9999], 3)).toEqual([])
    expect(outliers([0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 9999], 3)).toEqual([10])
  })
})

describe('sessionCompletion', () => {
  const days = (...texts: string[]) => texts.map(mustParseDay)

  // WHO indicator I45; its formula counts vaccinations, its words count sessions: sessions are counted.
  test('is planned sessions held over sessions planned, however many doses each gave', () => {
    const planned = days('2026-03-03', '2026-03-10', '2026-03-17', '2026-03-24')
    const worked = days('2026-03-03', '2026-03-03', '2026-03-17', '2026-03-24')
    expect(sessionCompletion(planned, worked)).toEqual({
      planned: 4,
      held: 3,
      unplanned: 0,
      percent: 75,
      missedOn: days('2026-03-10'),
    })
  })

  test('an extra day does not mend a missed session', () => {
    const completion = sessionCompletion(days('2026-03-03', '2026-03-10'), days('2026-03-03', '2026-03-11'))
    expect(completion).toMatchObject({ held: 1, unplanned: 1, percent: 50 })
  })

  test('has no percentage where nothing was planned', () => {
    expect(sessionCompletion([], days('2026-03-03'))).toMatchObject({
      planned: 0,
      unplanned: 1,
      percent: null,
    })
  })
})

describe('promptness', () => {
  // Limits of one month for doses and six weeks for enrolment: CDC minimum functional standards 2001, #4 and #2.
  test('counts delays within each limit, the limit included', () => {
    expect(promptness([0, 1, 1, 7, 8, 31], [1, 7, 30])).toEqual({
      total: 6,
      within: [
        { limitDays: 1, count: 3 },
        { limitDays: 7, count: 4 },
        { limitDays: 30, count: 5 },
      ],
      medianDays: 4,
    })
  })

  test('knows the middle one of an odd number, and none of none', () => {
    expect(promptness([9, 2, 4], []).medianDays).toBe(4)
    expect(promptness([], [42])).toEqual({
      total: 0,
      within: [{ limitDays: 42, count: 0 }],
      medianDays: null,
    })
  })
})

test('doses that cross between villages and posts are counted on both sides', () => {
  const home = { village: 'Amber Ford', homePost: 'Ford post', isElsewhere: false }
  const flows = doseFlows([
    { ...home, givenPost: 'Ford post', doses: 40 },
    { ...home, givenPost: 'Hill post', doses: 3 },
    { ...home, givenPost: null, doses: 2 },
    { ...home, givenPost: null, isElsewhere: true, doses: 5 },
    { village: 'High Elms', homePost: 'Hill post', givenPost: 'Hill post', isElsewhere: false, doses: 12 },
  ])
  expect(flows).toEqual({
    villages: [
      { village: 'Amber Ford', own: 40, out: 3, elsewhere: 5, unknown: 2 },
      { village: 'High Elms', own: 12, out: 0, elsewhere: 0, unknown: 0 },
    ],
    posts: [{ post: 'Hill post', dropIn: 3 }],
  })
})
