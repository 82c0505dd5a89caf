import { mustParseDay } from '../../../src/core/days/day.ts'
import { explain } from '../../../src/core/schedule/explain.ts'
import type { Explanation } from '../../../src/core/schedule/explain.ts'
import { forecast } from '../../../src/core/schedule/forecast.ts'
import { childOf } from '../../support/a-schedule.ts'
import type { Story } from '../../support/a-schedule.ts'
import { scheduleFromFile, shippedSchedule } from '../../support/schedules.ts'

function explainFor(schedule: Parameters<typeof explain>[0], story: Story): Explanation {
  const child = childOf(story)
  return explain(schedule, child, forecast(schedule, child, mustParseDay(story.asOf)))
}

const who = shippedSchedule('who-2025-preferred')
const story = {
  born: '2025-12-31',
  asOf: '2026-12-01',
  given: [
    'FIPV 2026-04-17',
    'BOPV 2026-03-15',
    'BOPV 2026-03-25',
    'PENTA 2026-01-31',
    'MR 2026-08-01',
    'YF 2026-11-20',
    'ROTA 2028-01-01',
    'BCG 2025-12-30',
    'BCG 2026-01-01',
    'BCG 2026-02-01',
    'PCV 2026-02-11',
    'PCV 2026-02-11',
    'HEPB 2026-02-11',
  ],
}

test('every verdict has the rule and the arithmetic in one line', () => {
  expect(explainFor(who, story).given.flat()).toEqual([
    'FIPV on 2026-04-17 counts as IPV 1: not before 2026-04-08, 14 weeks after birth on 2025-12-31',
    'BOPV on 2026-03-15 counts as OPV 1: not before 2026-02-11, 6 weeks after birth on 2025-12-31',
    'BOPV on 2026-03-25 does not count as OPV 2: not before 2026-04-12, 4 weeks after BOPV 1 on 2026-03-15',
    'PENTA on 2026-01-31 does not count as PENTA 1: not before 2026-02-11, 6 weeks after birth on 2025-12-31',
    'MR on 2026-08-01 does not count as MR: a measles dose before 9 months is a dose zero',
    'ROTA on 2028-01-01 does not count as ROTA: that day has not come yet',
    'BCG on 2025-12-30 does not count as BCG: the child was born on 2025-12-31',
    'BCG on 2026-01-01 counts as BCG 1: not before 2025-12-31, from birth',
    'BCG on 2026-02-01 does not count as BCG: the series was finished before',
    'PCV on 2026-02-11 counts as PCV 1: not before 2026-02-11, 6 weeks after birth on 2025-12-31',
    'PCV on 2026-02-11 does not count as PCV: a series has one dose a day',
    'HEPB on 2026-02-11 does not count as HEPB0 1: not after 2026-02-10, only before 6 weeks after birth on 2025-12-31',
  ])
})

test('every date has the rule and the arithmetic in one line', () => {
  const lines = explainFor(who, story).next.flatMap(({ earliest, due, overdue, latest }) => [
    earliest,
    due,
    overdue,
    latest,
  ])
  expect(lines).toEqual(
    expect.arrayContaining([
      'FIPV 2 not before 2026-08-17: 4 months after FIPV 1 on 2026-04-17',
      'FIPV 2 asked for on 2026-10-01: 9 months after birth on 2025-12-31',
      'FIPV 2 late from 2026-10-29: 4 weeks after it is due',
      'BOPV 2 not before 2026-04-22: 4 weeks after BOPV on 2026-03-25',
      'MR 1 not before 2026-12-18: 4 weeks after YF on 2026-11-20',
      'ROTA 1 not after 2027-12-30: only before 24 months after birth on 2025-12-31',
    ]),
  )
})

test('a dose that counts by grace says so', () => {
  const cdc = scheduleFromFile('tests/fixtures/schedules/cdc-2013.json')
  expect(
    explainFor(cdc, { born: '2008-04-04', asOf: '2008-05-12', given: ['IPV 2008-05-12'] }).given,
  ).toEqual([
    [
      'IPV on 2008-05-12 counts as IPV 1: not before 2008-05-16, 6 weeks after birth on 2008-04-04, within 4 days of grace',
    ],
  ])
})

test('a series for other children, and one that waits for another, are explained', () => {
  const shape = shippedSchedule('months-2-4-6')
  const boy = {
    born: '2010-01-10',
    asOf: '2022-01-10',
    given: ['HPV 2021-01-10'],
    facts: { sex: 'male' as const },
  }
  expect(explainFor(shape, boy).given).toEqual([
    ['HPV on 2021-01-10 does not count as HPV: the series is not for this child'],
  ])

  const sequential = shippedSchedule('who-2025-sequential')
  const early = { born: '2024-01-10', asOf: '2024-06-01', given: ['BOPV 2024-03-06'] }
  expect(explainFor(sequential, early).given).toEqual([
    ['BOPV on 2024-03-06 does not count as OPV 1: the dose it is counted from has not been given'],
  ])
})

test('where every dose is taken as recorded, that is what is said', () => {
  const bcg = scheduleFromFile('tests/fixtures/schedules/who-ig/hib-3p.json')
  expect(
    explainFor(bcg, { born: '2024-03-15', asOf: '2024-04-01', given: ['HIB 2024-03-20'] }).given,
  ).toEqual([['HIB on 2024-03-20 counts as HIB 1: as recorded']])
})
