import {
  daysAfter,
  forecastFor,
  nextFor,
  scheduleWith,
  seriesOfA,
  verdictsFor,
} from '../../support/a-schedule.ts'

const BORN = '2024-01-31'

describe('lengths', () => {
  test('four weeks and one month are different things', () => {
    const after = (length: string) => scheduleWith({ series: [seriesOfA([{}, { after: length }])] })
    const story = { born: BORN, asOf: '2024-02-01', given: ['A 2024-01-31'] }
    expect(nextFor(after('4 weeks'), story, 'A')).toBe('A 2 from 2024-02-28, due 2024-02-28')
    expect(nextFor(after('1 month'), story, 'A')).toBe('A 2 from 2024-03-01, due 2024-03-01')
  })

  // CDC, "Calculating Dates" quick guide, rule CALCDT-5: a day that does not exist becomes the next first.
  test.each([
    ['2023-01-31', '1 month', '2023-03-01', '2023-02-28'],
    ['2024-01-31', '1 month', '2024-03-01', '2024-02-29'],
    ['2023-08-31', '6 months', '2024-03-01', '2024-02-29'],
    ['2022-08-31', '6 months', '2023-03-01', '2023-02-28'],
    ['2024-05-31', '9 months', '2025-03-01', '2025-02-28'],
    ['2024-02-29', '12 months', '2025-03-01', '2025-02-28'],
    ['2024-02-29', '1 year', '2025-03-01', '2025-02-28'],
    ['2024-02-29', '9 months', '2024-11-29', '2024-11-29'],
    ['2024-10-31', '1 month', '2024-12-01', '2024-11-30'],
    ['2000-01-01', '3 years', '2003-01-01', '2003-01-01'],
    ['2000-01-01', '3 months', '2000-04-01', '2000-04-01'],
    ['1999-02-01', '5 weeks', '1999-03-08', '1999-03-08'],
    ['2000-02-01', '5 weeks', '2000-03-07', '2000-03-07'],
    ['2001-07-31', '2 months', '2001-10-01', '2001-09-30'],
  ])('born on %s, of age at %s: rolls to %s, or clamps to %s', (born, age, rolled, clamped) => {
    const at = (monthEnd: string) =>
      nextFor(scheduleWith({ monthEnd, series: [seriesOfA([{ earliest: age }])] }), { born, asOf: born }, 'A')
    expect(at('roll')).toBe(`A 1 from ${rolled}, due ${rolled}`)
    expect(at('clamp')).toBe(`A 1 from ${clamped}, due ${clamped}`)
  })

  // CDC rule CALCDT-6 (from memory): the roll comes before days are taken off.
  test('six months from 31 January less four days of grace is 27 July', () => {
    const schedule = scheduleWith({ graceDays: 4, series: [seriesOfA([{ earliest: '6 months' }])] })
    const on = (day: string) =>
      verdictsFor(schedule, { born: '2000-01-31', asOf: '2001-01-01', given: [`A ${day}`] })
    expect(on('2000-07-27')).toEqual([['A 1']])
    expect(on('2000-07-26')).toEqual([['A 1 too-young']])
  })
})

describe('ages and intervals', () => {
  const schedule = scheduleWith({
    series: [
      seriesOfA([
        { earliest: '6 weeks', due: '2 months', overdue: '3 months', before: '1 year' },
        { due: '4 months', after: [{ since: 'previous', minimum: '4 weeks', usual: '8 weeks' }] },
        {
          earliest: '24 weeks',
          after: [
            { since: 'previous', minimum: '8 weeks' },
            { since: 'dose 1', minimum: '16 weeks' },
          ],
        },
      ]),
    ],
  })

  test('a dose has an earliest, a due, an overdue and a latest day', () => {
    const [next] = forecastFor(schedule, { born: '2024-03-15', asOf: '2024-03-15' }).next
    expect(next).toEqual({
      series: 'A',
      dose: 1,
      vaccine: 'A',
      earliest: '2024-04-26',
      due: '2024-05-15',
      overdue: '2024-06-15',
      latest: '2025-03-14',
      status: 'not-yet',
    })
  })

  test.each([
    ['2024-05-14', 'not-yet'],
    ['2024-05-15', 'due'],
    ['2024-06-14', 'due'],
    ['2024-06-15', 'overdue'],
    ['2025-03-14', 'overdue'],
    ['2025-03-15', 'closed'],
  ])('on %s it is %s', (asOf, status) => {
    expect(forecastFor(schedule, { born: '2024-03-15', asOf }).next[0]?.status).toBe(status)
  })

  test('the usual interval moves the due day, not the earliest', () => {
    const story = { born: '2024-03-15', asOf: '2024-08-01', given: ['A 2024-07-01'] }
    expect(nextFor(schedule, story, 'A')).toBe('A 2 from 2024-07-29, due 2024-08-26')
  })

  // CDC table 3-2, hepatitis B 3: eight weeks after dose 2, sixteen after dose 1, 24 weeks of age.
  test.each([
    ['2024-04-26', '2024-05-24', '2024-08-30', 'its age'],
    ['2024-07-01', '2024-07-29', '2024-10-21', 'dose 1'],
    ['2024-07-01', '2024-10-01', '2024-11-26', 'dose 2'],
  ])('after doses on %s and %s, dose 3 waits until %s for %s', (first, second, earliest) => {
    const story = { born: '2024-03-15', asOf: second, given: [`A ${first}`, `A ${second}`] }
    expect(forecastFor(schedule, story).next[0]?.earliest).toBe(earliest)
  })

  test('a due day past the last day is brought back to it', () => {
    const late = scheduleWith({
      series: [
        seriesOfA([
          {},
          {
            due: '10 months',
            before: '11 months',
            after: [{ since: 'previous', minimum: '4 weeks', usual: '8 weeks' }],
          },
        ]),
      ],
    })
    const story = { born: '2024-01-10', asOf: '2024-11-01', given: ['A 2024-11-01'] }
    expect(nextFor(late, story, 'A')).toBe('A 2 from 2024-11-29, due 2024-12-09')
  })

  test('a dose whose earliest day lies past its last is closed at once', () => {
    const story = { born: '2024-01-10', asOf: '2024-11-25', given: ['A 2024-11-20'] }
    const late = scheduleWith({ series: [seriesOfA([{}, { before: '11 months', after: '4 weeks' }])] })
    expect(forecastFor(late, story).next[0]).toMatchObject({
      earliest: '2024-12-18',
      latest: '2024-12-09',
      status: 'closed',
    })
  })

  test('overdue may be counted from the due day or from the previous dose, and is never before due', () => {
    const overdueOf = (overdue: unknown) =>
      forecastFor(scheduleWith({ series: [seriesOfA([{}, { after: '4 weeks', overdue }])] }), {
        born: '2024-03-15',
        asOf: '2024-04-01',
        given: ['A 2024-03-15'],
      }).next[0]?.overdue
    expect(overdueOf({ sinceDue: '1 week' })).toBe('2024-04-19')
    expect(overdueOf({ sincePrevious: '8 weeks' })).toBe('2024-05-10')
    expect(overdueOf('4 weeks')).toBe('2024-04-12')
    expect(overdueOf(null)).toBeNull()
  })
})

describe('grace', () => {
  const schedule = scheduleWith({
    graceDays: 4,
    liveSpacing: { minimum: '4 weeks' },
    series: [
      seriesOfA([{ earliest: '6 weeks' }, { earliest: '10 weeks', after: '4 weeks' }]),
      { id: 'L', name: 'l', vaccines: ['LIVE'], doses: [{ after: '4 weeks' }, { after: '4 weeks' }] },
      { id: 'O', name: 'o', vaccines: ['OTHERLIVE'], doses: [{ after: '4 weeks' }] },
    ],
  })

  test('forgives some days before a minimum age or interval, and not one more', () => {
    const given = (first: number, gap: number) => ({
      born: BORN,
      asOf: '2025-01-01',
      given: [`A ${daysAfter(BORN, first)}`, `A ${daysAfter(BORN, first + gap)}`],
    })
    expect(verdictsFor(schedule, given(38, 28))).toEqual([['A 1'], ['A 2']])
    expect(verdictsFor(schedule, given(37, 29))[0]).toEqual(['A 1 too-young'])
    expect(verdictsFor(schedule, given(60, 24))[1]).toEqual(['A 2'])
    expect(verdictsFor(schedule, given(60, 23))[1]).toEqual(['A 2 too-soon'])
  })

  test('never brings a date forward that is asked for', () => {
    expect(nextFor(schedule, { born: BORN, asOf: BORN }, 'A')).toBe('A 1 from 2024-03-13, due 2024-03-13')
  })

  // ACIP: a full 28 days between two different live vaccines (read in secondary copies of its text).
  test('does not shorten the time between two different live vaccines', () => {
    const given = (gap: number) => ({
      born: BORN,
      asOf: '2025-01-01',
      given: ['LIVE 2024-03-01', `OTHERLIVE ${daysAfter('2024-03-01', gap)}`],
    })
    expect(verdictsFor(schedule, given(27))[1]).toEqual(['O 1 live-conflict'])
    expect(verdictsFor(schedule, given(28))[1]).toEqual(['O 1'])
  })
})

describe('live vaccines', () => {
  const schedule = scheduleWith({
    liveSpacing: { minimum: '4 weeks', exempt: ['DROPS'] },
    series: [
      { id: 'L', name: 'l', vaccines: ['LIVE'], doses: [{ after: '4 weeks' }, { after: '4 weeks' }] },
      { id: 'O', name: 'o', vaccines: ['OTHERLIVE'], doses: [{ after: '4 weeks' }] },
      { id: 'D', name: 'd', vaccines: ['DROPS'], doses: [{}] },
    ],
  })
  const story = (...given: string[]) => ({ born: BORN, asOf: '2024-12-31', given })

  test('may be given on one day', () => {
    expect(verdictsFor(schedule, story('LIVE 2024-03-01', 'OTHERLIVE 2024-03-01'))).toEqual([
      ['L 1'],
      ['O 1'],
    ])
  })

  test('keep the next one away for four weeks, and the repeat of a conflict for four more', () => {
    expect(nextFor(schedule, story('LIVE 2024-03-01'), 'O')).toBe('O 1 from 2024-03-29, due 2024-03-29')
    expect(nextFor(schedule, story('LIVE 2024-03-01', 'OTHERLIVE 2024-03-10'), 'O')).toBe(
      'O 1 from 2024-04-07, due 2024-04-07',
    )
  })

  test('leave drops by mouth alone, and are left alone by them', () => {
    expect(verdictsFor(schedule, story('LIVE 2024-03-01', 'DROPS 2024-03-05'))[1]).toEqual(['D 1'])
    expect(verdictsFor(schedule, story('DROPS 2024-03-01', 'LIVE 2024-03-05'))[1]).toEqual(['L 1'])
  })

  test('keep apart also when one of them does not count or belongs to no series', () => {
    const campaign = scheduleWith({
      liveSpacing: { minimum: '4 weeks' },
      series: [
        { id: 'L', name: 'l', vaccines: ['LIVE'], doses: [{ earliest: '9 months', after: '4 weeks' }] },
      ],
    })
    const late = { born: BORN, asOf: '2024-12-31', given: ['OTHERLIVE 2024-10-20', 'LIVE 2024-11-01'] }
    expect(verdictsFor(campaign, late)).toEqual([[], ['L 1 live-conflict']])
  })

  test('of one family share the grace, and every other live vaccine still needs its full time', () => {
    const live = (code: string) => ({ code, name: code, kind: 'live', route: 'subcutaneous' })
    const family = scheduleWith({
      graceDays: 4,
      liveSpacing: { minimum: '4 weeks' },
      vaccines: ['MM', 'MMV', 'YF'].map(live),
      series: [
        { id: 'M', name: 'm', vaccines: ['MM', 'MMV'], doses: [{}, { after: '3 weeks' }] },
        { id: 'V', name: 'v', vaccines: ['MMV'], doses: [{}] },
      ],
    })
    const story = (...given: string[]) => ({ born: BORN, asOf: '2025-01-01', given })
    const [first, third, last] = ['2024-11-01', '2024-11-04', '2024-11-28']
    expect(verdictsFor(family, story(`MM ${third}`, `MMV ${last}`))[1]).toEqual(['M 2', 'V 1'])
    expect(verdictsFor(family, story(`YF ${first}`, `MM ${first}`, `MMV ${last}`))[2]).toEqual([
      'M 2 live-conflict',
      'V 1 live-conflict',
    ])
  })
})
