import type { Schedule } from '../../../src/core/schedule/schedule.ts'
import { daysAfter, forecastFor, nextFor, verdictsFor } from '../../support/a-schedule.ts'
import type { Story } from '../../support/a-schedule.ts'
import { shippedSchedule } from '../../support/schedules.ts'

const who = shippedSchedule('who-2025-preferred')
const BORN = '2024-01-10'

function wantedOn(schedule: Schedule, story: Story): string[] {
  return forecastFor(schedule, story)
    .next.filter(({ status }) => status === 'due' || status === 'overdue')
    .map(({ series, dose }) => `${series} ${dose}`)
}

/** Number of doses of a series for a child who first comes at an age and takes each dose on its due day. */
function dosesFrom(schedule: Schedule, series: string, firstOn: string, vaccine?: string): string[] {
  const given: string[] = []
  for (let asOf = firstOn; ;) {
    const next = forecastFor(schedule, { born: BORN, asOf, given }).next.find((row) => row.series === series)
    if (next === undefined || next.status === 'closed' || given.length > 9) return given
    if (next.due > asOf) asOf = next.due
    given.push(`${vaccine ?? next.vaccine} ${asOf}`)
  }
}

// WHO, "Leave no one behind" (catch-up guidance), 2021: Box 2, §1.3, §1.4.
describe('the worked examples of the WHO catch-up guidance', () => {
  test('L1: a dose too early is invalid, and its repeat is spaced from it', () => {
    const story = { born: BORN, asOf: '2024-03-01', given: [`PENTA ${daysAfter(BORN, 41)}`] }
    expect(verdictsFor(who, story)).toEqual([['PENTA 1 too-young']])
    expect(nextFor(who, story, 'PENTA')).toContain(`from ${daysAfter(BORN, 69)}`)
  })

  test('L2: a child at 9 months who lacks OPV 3, Penta 3 and IPV is given all of them with MR', () => {
    const given = [
      'BCG 2024-01-10',
      'BOPV 2024-02-21',
      'BOPV 2024-03-20',
      'PENTA 2024-02-21',
      'PENTA 2024-03-20',
      'PCV 2024-02-21',
      'PCV 2024-03-20',
      'PCV 2024-04-17',
      'ROTA2 2024-02-21',
      'ROTA2 2024-03-20',
    ]
    expect(wantedOn(who, { born: BORN, asOf: '2024-10-10', given })).toEqual([
      'OPV 3',
      'IPV 1',
      'PENTA 3',
      'MR 1',
    ])
  })

  test('L3: MR 1 at 12 months leaves MR 2 at 15 months', () => {
    expect(nextFor(who, { born: BORN, asOf: '2025-01-10', given: ['MR 2025-01-10'] }, 'MR')).toContain(
      'due 2025-04-10',
    )
  })

  test('L4: MR 1 at 15 months puts MR 2 four weeks later', () => {
    expect(nextFor(who, { born: BORN, asOf: '2025-04-10', given: ['MR 2025-04-10'] }, 'MR')).toBe(
      'MR 2 from 2025-05-08, due 2025-05-08',
    )
  })

  test('L5: after a gap of six months the next dose is Penta 3, with no restart', () => {
    const story = { born: BORN, asOf: '2024-10-01', given: ['PENTA 2024-02-21', 'PENTA 2024-03-20'] }
    expect(nextFor(who, story, 'PENTA')).toBe('PENTA 3 from 2024-04-17, due 2024-04-17')
    expect(verdictsFor(who, { ...story, given: [...story.given, 'PENTA 2024-09-30'] })[2]).toEqual([
      'PENTA 3',
    ])
  })

  test('L6: the first doses of a child of five months are number 1 whatever the age', () => {
    const given = ['PENTA 2024-06-10', 'BOPV 2024-06-10', 'PCV 2024-06-10']
    expect(verdictsFor(who, { born: BORN, asOf: '2024-06-10', given })).toEqual([
      ['PENTA 1'],
      ['OPV 1'],
      ['PCV 1'],
    ])
  })

  test('L7: the first measles dose at 15 months is MR 1, and MR 2 follows in four weeks', () => {
    const story = { born: BORN, asOf: '2025-04-10', given: ['MR 2025-04-10'] }
    expect(verdictsFor(who, story)).toEqual([['MR 1']])
    expect(nextFor(who, story, 'MR')).toContain('2025-05-08')
  })

  test('L8: a second HPV dose has a minimum interval and no maximum', () => {
    const schedule = shippedSchedule('months-2-4-6')
    const story = {
      born: '2010-01-10',
      asOf: '2030-01-10',
      given: ['HPV 2021-01-10'],
      facts: { sex: 'female' as const },
    }
    expect(nextFor(schedule, story, 'HPV')).toBe('HPV 2 from 2021-07-10, due 2021-07-10')
    expect(forecastFor(schedule, story).next.find(({ series }) => series === 'HPV')?.latest).toBeNull()
  })

  test('L9: two doses of one antigen on one day count once', () => {
    expect(
      verdictsFor(who, { born: BORN, asOf: '2024-06-10', given: ['PENTA 2024-06-10', 'PENTA 2024-06-10'] }),
    ).toEqual([['PENTA 1'], ['PENTA repeat-same-day']])
  })

  test('L10: a child without a record is asked for everything from the start; doses beyond the series do no harm', () => {
    const without = forecastFor(who, { born: BORN, asOf: '2024-10-10' }).next.filter(
      ({ status }) => status !== 'closed',
    )
    expect(without.every(({ dose }) => dose === 1)).toBe(true)
    const given = [42, 70, 98, 126, 154].map((age) => `BOPV ${daysAfter(BORN, age)}`)
    expect(verdictsFor(who, { born: BORN, asOf: '2025-01-10', given }).flat()).toEqual([
      'OPV 1',
      'OPV 2',
      'OPV 3',
      'OPV surplus',
      'OPV surplus',
    ])
  })

  test('L11: where the vaccine goes is on the schedule, so that two injections need not share a place', () => {
    const sites = ['BCG', 'FIPV', 'PENTA'].map((code) => who.vaccines.get(code)?.site)
    expect(sites).toEqual(['left upper arm', 'right upper arm', 'thigh'])
  })

  test('L12: where products need different numbers of doses, mixed ones need the higher', () => {
    const given = ['ROTA2 2024-02-21', 'ROTA3 2024-03-20']
    expect(nextFor(who, { born: BORN, asOf: '2024-04-01', given }, 'ROTA')).toContain('ROTA 3')
  })

  test('L13: a child who has caught up goes back to the ages of the schedule', () => {
    const given = ['PENTA 2024-08-01', 'PENTA 2024-08-29', 'PENTA 2024-09-26', 'MR 2024-10-10']
    expect(nextFor(who, { born: BORN, asOf: '2024-10-10', given }, 'MR')).toContain('due 2025-04-10')
  })

  test('L14: a late dose keeps its real date and its real number', () => {
    const { given } = forecastFor(who, { born: BORN, asOf: '2026-12-01', given: ['PENTA 2026-11-20'] })
    expect(given).toEqual([
      {
        vaccine: 'PENTA',
        date: '2026-11-20',
        counts: [{ series: 'PENTA', dose: 1, valid: true, reason: null }],
      },
    ])
  })
})

// WHO, Table 3 (interrupted or delayed), December 2025.
describe('children who start late, by WHO Table 3', () => {
  const THIRTEEN_MONTHS = '2025-02-10'
  const FIVE_MONTHS = '2024-06-10'

  test.each([
    ['BCG', FIVE_MONTHS, 1],
    ['BCG', THIRTEEN_MONTHS, 1],
    ['OPV', FIVE_MONTHS, 3],
    ['OPV', THIRTEEN_MONTHS, 3],
    ['IPV', THIRTEEN_MONTHS, 2],
    ['PCV', FIVE_MONTHS, 3],
    ['PCV', THIRTEEN_MONTHS, 2],
    ['PCV', '2026-02-10', 1],
    ['MR', FIVE_MONTHS, 2],
    ['MR', THIRTEEN_MONTHS, 2],
  ])('%s begun on %s takes %i doses', (series, firstOn, count) => {
    expect(dosesFrom(who, series, firstOn)).toHaveLength(count)
  })

  test('rotavirus takes two or three doses by product until 24 months, and none after', () => {
    expect(dosesFrom(who, 'ROTA', THIRTEEN_MONTHS, 'ROTA2')).toHaveLength(2)
    expect(dosesFrom(who, 'ROTA', THIRTEEN_MONTHS, 'ROTA3')).toHaveLength(3)
    expect(dosesFrom(who, 'ROTA', '2026-01-09', 'ROTA3')).toHaveLength(1)
    expect(dosesFrom(who, 'ROTA', '2026-01-10')).toEqual([])
  })

  test('DTP begun after the first birthday waits four weeks for dose 2 and six months for dose 3', () => {
    expect(dosesFrom(who, 'PENTA', THIRTEEN_MONTHS).slice(0, 3)).toEqual([
      'PENTA 2025-02-10',
      'PENTA 2025-03-10',
      'PENTA 2025-09-10',
    ])
    expect(dosesFrom(who, 'PENTA', '2025-01-09').slice(0, 3)).toEqual([
      'PENTA 2025-01-09',
      'PENTA 2025-02-06',
      'PENTA 2025-03-06',
    ])
  })

  test('the first IPV of a child over 3 months goes with the first bOPV', () => {
    expect(wantedOn(who, { born: BORN, asOf: '2024-05-10' })).toEqual(
      expect.arrayContaining(['OPV 1', 'IPV 1']),
    )
  })

  test('every interrupted series is resumed where it stopped', () => {
    const given = ['BOPV', 'PENTA', 'PCV', 'ROTA3'].map((code) => `${code} 2024-02-21`)
    const rows = forecastFor(who, { born: BORN, asOf: '2025-01-05', given }).next
    expect(
      rows.filter(({ dose }) => dose === 2).map(({ series, earliest }) => `${series} ${earliest}`),
    ).toEqual(['OPV 2024-03-20', 'PENTA 2024-03-20', 'PCV 2024-03-20', 'ROTA 2024-03-20'])
  })
})

// WHO, Table 2 (routine immunization for children), December 2025.
describe('the polio options of WHO Table 2', () => {
  const onTime = (id: string, series: string) =>
    dosesFrom(shippedSchedule(id), series, BORN).map((dose) => dose.split(' ')[0])

  test.each([
    ['who-2025-preferred', ['BOPV', 'BOPV', 'BOPV'], ['FIPV', 'FIPV']],
    ['who-2025-early', ['BOPV', 'BOPV', 'BOPV'], ['IPV', 'IPV']],
    ['who-2025-hexavalent', ['BOPV', 'BOPV', 'BOPV'], ['HEXA', 'HEXA', 'HEXA']],
    ['who-2025-ipv-only', [], ['IPV', 'IPV', 'IPV']],
  ])('%s: bOPV %j and IPV %j', (id, oral, injected) => {
    expect(onTime(id, 'OPV')).toEqual(oral)
    expect(onTime(id, 'IPV')).toEqual(injected)
  })

  test('sequential: two IPV from 8 weeks, then two bOPV four weeks apart', () => {
    const schedule = shippedSchedule('who-2025-sequential')
    const given = ['FIPV 2024-03-06', 'FIPV 2024-04-03']
    expect(nextFor(schedule, { born: BORN, asOf: BORN }, 'IPV')).toContain('from 2024-03-06')
    expect(nextFor(schedule, { born: BORN, asOf: BORN }, 'OPV')).toBeUndefined()
    expect(nextFor(schedule, { born: BORN, asOf: '2024-04-03', given }, 'OPV')).toContain(
      'OPV 1 from 2024-05-01',
    )
    expect(
      nextFor(schedule, { born: BORN, asOf: '2024-05-01', given: [...given, 'BOPV 2024-05-01'] }, 'OPV'),
    ).toContain('OPV 2 from 2024-05-29')
  })

  test('the early option asks for full doses eight weeks apart and does not count fractional ones', () => {
    const schedule = shippedSchedule('who-2025-early')
    expect(verdictsFor(schedule, { born: BORN, asOf: '2024-06-01', given: ['FIPV 2024-02-21'] })).toEqual([
      ['IPV not-counted'],
    ])
    expect(nextFor(schedule, { born: BORN, asOf: '2024-06-01', given: ['IPV 2024-02-21'] }, 'IPV')).toBe(
      'IPV 2 from 2024-04-17, due 2024-04-17',
    )
  })

  test('a bOPV birth dose is in addition to the three', () => {
    expect(
      verdictsFor(who, { born: BORN, asOf: '2024-06-01', given: ['BOPV 2024-01-10', 'BOPV 2024-02-21'] }),
    ).toEqual([['OPV not-counted'], ['OPV 1']])
  })

  test('a full and a fractional dose make up one series', () => {
    expect(
      verdictsFor(who, { born: BORN, asOf: '2024-12-01', given: ['IPV 2024-04-17', 'FIPV 2024-08-17'] }),
    ).toEqual([['IPV 1'], ['IPV 2']])
  })

  test('measles before 9 months is a dose zero: it never counts and two more are due', () => {
    const story = { born: BORN, asOf: '2024-10-09', given: ['MR 2024-10-09'] }
    expect(verdictsFor(who, story)).toEqual([['MR not-counted']])
    expect(nextFor(who, story, 'MR')).toContain('MR 1 from 2024-11-06')
  })

  test('rotavirus is given to the last day before 24 months and not on the day itself', () => {
    const on = (day: string) => verdictsFor(who, { born: BORN, asOf: day, given: [`ROTA2 ${day}`] })
    expect(on('2026-01-09')).toEqual([['ROTA 1']])
    expect(on('2026-01-10')).toEqual([['ROTA 1 too-old']])
    expect(
      forecastFor(who, { born: BORN, asOf: '2026-01-10' }).next.find(({ series }) => series === 'ROTA')
        ?.status,
    ).toBe('closed')
  })

  test('measles and yellow fever go on one day or four weeks apart; oral polio goes any time', () => {
    const given = (gap: number) => ['YF 2024-10-20', `MR ${daysAfter('2024-10-20', gap)}`]
    expect(verdictsFor(who, { born: BORN, asOf: '2025-01-01', given: given(0) })[1]).toEqual(['MR 1'])
    expect(verdictsFor(who, { born: BORN, asOf: '2025-01-01', given: given(27) })[1]).toEqual([
      'MR 1 live-conflict',
    ])
    expect(verdictsFor(who, { born: BORN, asOf: '2025-01-01', given: given(28) })[1]).toEqual(['MR 1'])
    expect(
      verdictsFor(who, { born: BORN, asOf: '2025-01-01', given: ['BOPV 2024-10-20', 'MR 2024-10-22'] })[1],
    ).toEqual(['MR 1'])
  })
})

// Worked by hand from WHO Table 2 (December 2025), polio footnote.
describe('fractional IPV', () => {
  test('the first from 98 days, the second four calendar months later and asked for at 9 months', () => {
    expect(nextFor(who, { born: BORN, asOf: BORN }, 'IPV')).toBe('IPV 1 from 2024-04-17, due 2024-04-17')
    expect(nextFor(who, { born: BORN, asOf: '2024-04-17', given: ['FIPV 2024-04-17'] }, 'IPV')).toBe(
      'IPV 2 from 2024-08-17, due 2024-10-10',
    )
  })

  test('a late first dose puts the second after the 9-month visit, which must not carry it', () => {
    const story = { born: BORN, asOf: '2024-10-10', given: ['FIPV 2024-07-01'] }
    expect(nextFor(who, story, 'IPV')).toBe('IPV 2 from 2024-11-01, due 2024-11-01')
    expect(wantedOn(who, story)).not.toContain('IPV 2')
    expect(wantedOn(who, story)).toContain('MR 1')
  })

  test('goes into the skin of the arm opposite to BCG, a fifth of the full dose', () => {
    const bcg = who.vaccines.get('BCG')
    const fractional = who.vaccines.get('FIPV')
    expect(fractional).toMatchObject({ route: 'intradermal', amount: '0.1 mL', site: 'right upper arm' })
    expect(who.vaccines.get('IPV')?.amount).toBe('0.5 mL')
    expect(bcg?.site).toBe('left upper arm')
  })
})
