import { scheduleFor } from '../../../src/core/schedule/schedule-for.ts'
import { visitPlan } from '../../../src/core/schedule/visit-plan.ts'
import { readLength } from '../../../src/core/schedule/length.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { childOf, forecastFor, nextFor, verdictsFor } from '../../support/a-schedule.ts'
import { scheduleFromFile, shippedSchedule } from '../../support/schedules.ts'

const BORN = '2024-01-10'

/** `14 weeks: OPV 3, IPV 1`, for a child who first comes at an age. */
function visitsFrom(id: string, age: string): string[] {
  const start = readLength(age)
  if (start === undefined) throw new Error(`not an age: ${age}`)
  return visitPlan(shippedSchedule(id), start).visits.map(
    (visit) => `${visit.age}: ${visit.doses.map(({ series, dose }) => `${series} ${dose}`).join(', ')}`,
  )
}

// National schedules as restated by the pages named in each file.
describe('visits of a child who comes on time', () => {
  test('WHO, preferred option', () => {
    expect(visitsFrom('who-2025-preferred', '0 days')).toEqual([
      'birth: BCG 1, HEPB0 1',
      '6 weeks: OPV 1, PENTA 1, PCV 1, ROTA 1',
      '10 weeks: OPV 2, PENTA 2, PCV 2, ROTA 2',
      '14 weeks: OPV 3, IPV 1, PENTA 3, PCV 3, ROTA 3',
      '9 months: IPV 2, MR 1',
      '12 months: PENTA 4',
      '15 months: MR 2',
    ])
  })

  test('fractional IPV at 2 and 4 months, then three bOPV (common practice, no source)', () => {
    const polio = visitsFrom('fractional-2-4-months', '0 days').filter((line) => /IPV|OPV/.test(line))
    expect(polio.map((line) => line.replace(/(: ).*?((?:IPV|OPV) \d).*/, '$1$2'))).toEqual([
      '2 months: IPV 1',
      '4 months: IPV 2',
      '6 months: OPV 1',
      '9 months: OPV 2',
      '18 months: OPV 3',
    ])
  })

  test('6, 10 and 14 weeks with three fractional doses', () => {
    expect(visitsFrom('fractional-6-10-14-weeks', '0 days').slice(0, 6)).toEqual([
      'birth: BCG 1, HEPB0 1, OPV0 1',
      '6 weeks: OPV 1, IPV 1, PENTA 1, PCV 1, ROTA 1',
      '10 weeks: OPV 2, PENTA 2, ROTA 2',
      '14 weeks: OPV 3, IPV 2, PENTA 3, PCV 2, ROTA 3',
      '9 months: IPV 3, PCV 3, MR 1',
      '16 months: OPV 4, PENTA 4, MR 2',
    ])
  })

  test('hexavalent with measles at 6 and 12 months', () => {
    expect(visitsFrom('hexavalent-measles-6-12', '0 days').slice(0, 8)).toEqual([
      'birth: BCG 1, OPV0 1',
      '6 weeks: OPV 1, PENTA 1, IPV 1, PCV 1, ROTA 1',
      '10 weeks: PENTA 2, IPV 2',
      '14 weeks: PENTA 3, IPV 3, PCV 2, ROTA 2',
      '6 months: MCV 1',
      '9 months: PCV 3',
      '12 months: MCV 2',
      '18 months: PENTA 4, IPV 4',
    ])
  })

  test('2, 4 and 6 months with MMR at 9 months and 3 years', () => {
    expect(visitsFrom('months-2-4-6', '0 days').slice(0, 8)).toEqual([
      'birth: BCG 1',
      '2 months: OPV 1, IPV 1, PENTA 1',
      '4 months: OPV 2, IPV 2, PENTA 2',
      '6 months: OPV 3, PENTA 3',
      '9 months: MMR 1',
      '12 months: JE 1',
      '18 months: OPV 4, PENTA 4',
      '3 years: MMR 2',
    ])
  })

  test('measles at 9 and 18 months, with vitamin A on the same card', () => {
    expect(visitsFrom('measles-9-18', '0 days').slice(4)).toEqual([
      '6 months: VITA 1',
      '9 months: MR 1, YF 1',
      '12 months: VITA 2',
      '18 months: MR 2, VITA 3',
      '24 months: VITA 4',
    ])
  })
})

test('a child who starts at 13 months never has the same vaccine twice on one day and finishes every open series', () => {
  const plan = visitPlan(shippedSchedule('who-2025-preferred'), { months: 13, days: 0, text: '13 months' })
  expect(plan.missed.map(({ series }) => series)).toEqual(['HEPB0'])
  expect(plan.complete).toEqual(['BCG', 'OPV', 'IPV', 'PENTA', 'PCV', 'ROTA', 'MR'])
  for (const { doses } of plan.visits)
    expect(new Set(doses.map(({ series }) => series)).size).toBe(doses.length)
})

// Upper age limits of the Indian schedule, as restated by the pages named in the file; for fractional IPV,
// tribuneindia.com of 22 December 2022 quoting the ministry.
describe('upper age limits', () => {
  const schedule = shippedSchedule('fractional-6-10-14-weeks')
  const closedOn = (asOf: string, ...given: string[]) =>
    forecastFor(schedule, { born: BORN, asOf, given })
      .next.filter(({ status }) => status === 'closed')
      .map(({ series }) => series)

  test('BCG, pentavalent, rotavirus and fractional IPV are not begun after the first birthday', () => {
    expect(closedOn('2025-01-09')).toEqual(['HEPB0', 'OPV0'])
    expect(closedOn('2025-01-10')).toEqual(['BCG', 'HEPB0', 'OPV0', 'IPV', 'PENTA', 'ROTA'])
  })

  test('a child who began before it goes on', () => {
    const given = ['FIPV 2025-01-09', 'PENTA 2025-01-09', 'ROTA3 2025-01-09']
    expect(closedOn('2025-02-10', ...given)).toEqual(['BCG', 'HEPB0', 'OPV0'])
    expect(nextFor(schedule, { born: BORN, asOf: '2025-02-10', given }, 'ROTA')).toBe(
      'ROTA 2 from 2025-02-06, due 2025-02-06',
    )
  })

  test('the birth dose of oral polio belongs to the first 15 days', () => {
    const story = (day: string) => ({ born: BORN, asOf: '2024-03-01', given: [`BOPV ${day}`] })
    expect(verdictsFor(schedule, story('2024-01-24'))).toEqual([['OPV0 1']])
    expect(verdictsFor(schedule, story('2024-01-25'))).toEqual([['OPV 1 too-young']])
  })
})

test('measles at 6 months is dose 1 where the nation says so, with the WHO view beside it', () => {
  const schedule = shippedSchedule('hexavalent-measles-6-12')
  expect(verdictsFor(schedule, { born: BORN, asOf: '2024-08-01', given: ['MCV 2024-07-10'] })).toEqual([
    ['MCV 1'],
  ])
  expect(schedule.remarks.map(({ dose }) => dose)).toContain('MCV 1')
})

// India, a third fractional dose from 2023-01-01 (tribuneindia.com, dtnext.in, December 2022); who had had MR 1 is exempt.
describe('a schedule that changes under children', () => {
  const before = scheduleFromFile('tests/fixtures/schedules/fractional-6-14-weeks-2022.json')
  const after = shippedSchedule('fractional-6-10-14-weeks')
  const versions = [before, after]
  const on = (day: string, born: string, ...given: string[]) =>
    scheduleFor(versions, childOf({ born, asOf: day, given }), mustParseDay(day))?.version

  test('leaves everyone on the old version until the new one is in force', () => {
    expect(on('2022-12-31', '2022-06-01')).toBe('2022-01')
    expect(on('2023-01-01', '2022-06-01')).toBe('2023-01')
  })

  test('takes in children who had not had MR 1 by then, and leaves the others to finish', () => {
    expect(on('2023-06-01', '2022-01-10', 'MR 2022-11-01')).toBe('2022-01')
    expect(on('2023-06-01', '2022-01-10')).toBe('2023-01')
  })

  test('keeps a child who switched on the new version after MR 1', () => {
    expect(on('2023-06-01', '2022-04-20', 'MR 2023-01-20')).toBe('2023-01')
  })

  test('an uncounted early measles dose does not exempt', () => {
    expect(on('2023-06-01', '2022-04-20', 'MR 2022-10-20')).toBe('2023-01')
  })

  test('asks for the third fractional dose only of those it takes in', () => {
    const given = ['FIPV 2022-07-15', 'FIPV 2022-09-15']
    const child = { born: '2022-06-01', asOf: '2023-03-01', given }
    expect(forecastFor(before, child).complete).toContain('IPV')
    expect(nextFor(after, child, 'IPV')).toBe('IPV 3 from 2023-03-01, due 2023-03-01')
  })

  test('may take in by birth date, or everyone', () => {
    const bornFrom = { ...after, adoption: { kind: 'born-from' as const, day: mustParseDay('2022-06-01') } }
    const everyone = { ...after, adoption: { kind: 'everyone' as const } }
    const versionFor = (newer: typeof after, born: string) =>
      scheduleFor([newer, before], childOf({ born, asOf: '2023-06-01' }), mustParseDay('2023-06-01'))?.version
    expect(versionFor(bornFrom, '2022-05-31')).toBe('2022-01')
    expect(versionFor(bornFrom, '2022-06-01')).toBe('2023-01')
    expect(versionFor(everyone, '2020-01-01')).toBe('2023-01')
    expect(
      scheduleFor([after], childOf({ born: '2022-06-01', asOf: '2022-06-01' }), mustParseDay('2022-06-01')),
    ).toBeUndefined()
  })
})
