import { cohortDropout, laterDueOn, periodDropout } from '../../../src/core/coverage/dropout.ts'
import { priority } from '../../../src/core/coverage/priority.ts'
import { aSheetDose } from '../../support/a-sheet-dose.ts'
import { formatDay, mustParseDay } from '../../../src/core/days/day.ts'

describe('periodDropout', () => {
  // E8; formula: WHO 2018 facility data guide, numbers chosen here.
  test('E8: 420 first doses and 378 third doses are 10.0 % dropout, category 2 where access is good', () => {
    const dropout = periodDropout(420, 378, 10)
    expect(dropout).toMatchObject({ reading: 'period', dropped: 42, percent: 10, flags: [] })
    expect(priority(85, dropout.percent, { coveragePercent: 80, dropoutPercent: 10 })?.category).toBe(2)
  })

  // WHO 2018 facility data guide: negative dropout is a sign of bad data, reported and not clamped.
  test('goes negative and says so when more had the later dose', () => {
    expect(periodDropout(20, 23, 10)).toMatchObject({
      dropped: -3,
      percent: -15,
      flags: ['negative-dropout'],
    })
  })

  test('has no percentage without first doses, and warns below ten', () => {
    expect(periodDropout(0, 4, 10)).toMatchObject({ dropped: -4, percent: null, flags: ['no-first-dose'] })
    expect(periodDropout(9, 6, 10).flags).toEqual(['small-number'])
  })
})

describe('cohortDropout', () => {
  const asOf = mustParseDay('2026-06-30')
  const child = (firstOn: string | null, laterOn: string | null, laterDueOn: string) => ({
    firstOn: firstOn === null ? null : mustParseDay(firstOn),
    laterOn: laterOn === null ? null : mustParseDay(laterOn),
    laterDueOn: mustParseDay(laterDueOn),
  })

  // WHO indicators I35–I39 as worded: had the first dose, fell due for the later one, has not had it.
  test('follows children: those past due without the later dose, over those past due or done', () => {
    const children = [
      child('2026-01-05', '2026-03-02', '2026-03-02'),
      child('2026-01-12', null, '2026-03-09'),
      child('2026-05-04', null, '2026-06-29'),
      child('2026-05-05', null, '2026-06-30'),
      child('2026-06-01', null, '2026-07-27'),
      child(null, null, '2026-01-01'),
    ]
    expect(cohortDropout(children, asOf, 1)).toEqual({
      reading: 'cohort',
      first: 3,
      later: 1,
      dropped: 2,
      percent: 200 / 3,
      flags: [],
    })
  })

  test('a later dose without the first one cannot make it negative, as it does to the period reading', () => {
    const children = [
      child('2026-01-05', '2026-03-02', '2026-03-02'),
      child(null, '2026-03-02', '2026-03-02'),
    ]
    expect(cohortDropout(children, asOf, 1)).toMatchObject({ first: 1, later: 1, dropped: 0 })
    expect(periodDropout(1, 2, 1).dropped).toBe(-1)
  })
})

describe('laterDueOn', () => {
  const age = (days: number) => ({ months: 0, days, text: `${days} days` })
  const months = (count: number) => ({ months: count, days: 0, text: `${count} months` })
  const due = (first: ReturnType<typeof age>, later: ReturnType<typeof age>, firstOn: string) =>
    formatDay(
      laterDueOn(
        { birthOn: mustParseDay('2026-01-05'), firstOn: mustParseDay(firstOn) },
        {
          first: aSheetDose('PENTA', 1, { dueAge: first }),
          later: aSheetDose('PENTA', 3, { dueAge: later }),
        },
        'roll',
      ),
    )

  test('is the age of the later dose for a child who began in time', () => {
    expect(due(age(42), age(98), '2026-02-16')).toBe('2026-04-13')
    expect(due(age(0), months(9), '2026-01-05')).toBe('2026-10-05')
  })

  test('keeps the gap of the schedule for a child who began late', () => {
    expect(due(age(42), age(98), '2026-06-01')).toBe('2026-07-27')
  })
})

describe('priority', () => {
  const at80 = { coveragePercent: 80, dropoutPercent: 10 }
  const at90 = { coveragePercent: 90, dropoutPercent: 10 }

  // Meaning of the four boxes: Ethiopia Health Extension module, session 10; 80/10: training handout 5.2.4a.
  test.each([
    [80, 9.99, 1, 'none'],
    [80, 10, 2, 'utilisation'],
    [79.96, 9.99, 3, 'access'],
    [79.96, 10, 4, 'both'],
  ])('coverage %d %% with dropout %d %% is category %i: %s', (coverage, dropout, category, problem) => {
    expect(priority(coverage, dropout, at80)).toEqual({ category, problem, doubts: [] })
  })

  // WHO 2018 facility data guide, figure 14: 90 % instead of 80 %.
  test('moves with the cut-offs, which are data', () => {
    expect(priority(85, 5, at80)?.category).toBe(1)
    expect(priority(85, 5, at90)?.category).toBe(3)
  })

  test('doubts figures that cannot be true, and does not class what is unknown', () => {
    expect(priority(112, -4, at80)).toEqual({
      category: 1,
      problem: 'none',
      doubts: ['over-100', 'negative-dropout'],
    })
    expect(priority(null, 5, at80)).toBeNull()
    expect(priority(85, null, at80)).toBeNull()
  })
})
