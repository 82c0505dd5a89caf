import {
  daysAfter,
  forecastFor,
  nextFor,
  scheduleWith,
  seriesOfA,
  verdictsFor,
} from '../../support/a-schedule.ts'

const BORN = '2024-01-10'
const LATER = '2026-01-01'

describe('a combined vaccine', () => {
  const schedule = scheduleWith({
    series: [
      { id: 'A', name: 'a', vaccines: ['A', 'B'], doses: [{ earliest: '6 weeks' }, { after: '4 weeks' }] },
      { id: 'B', name: 'b', vaccines: ['B'], doses: [{ earliest: '14 weeks' }] },
    ],
  })

  test('is judged in each of its series by their own rules', () => {
    expect(verdictsFor(schedule, { born: BORN, asOf: LATER, given: [`B ${daysAfter(BORN, 50)}`] })).toEqual([
      ['A 1', 'B 1 too-young'],
    ])
  })

  test('given on the day of another vaccine of one series repeats it there and counts elsewhere', () => {
    const on = daysAfter(BORN, 100)
    expect(verdictsFor(schedule, { born: BORN, asOf: LATER, given: [`A ${on}`, `B ${on}`] })).toEqual([
      ['A 1'],
      ['A repeat-same-day', 'B 1'],
    ])
  })
})

describe('the number of doses', () => {
  test('follows the product, and mixed or unknown products take the greater', () => {
    const schedule = scheduleWith({
      series: [
        {
          id: 'R',
          name: 'r',
          vaccines: ['A', 'B'],
          doses: [{}, { after: '4 weeks' }, { after: '4 weeks' }],
          variants: [{ when: { products: ['A'] }, total: 2 }],
        },
      ],
    })
    const after = (...codes: string[]) => {
      const given = codes.map((code, place) => `${code} ${daysAfter(BORN, 50 + 30 * place)}`)
      return forecastFor(schedule, { born: BORN, asOf: LATER, given }).complete
    }
    expect(after('A', 'A')).toEqual(['R'])
    expect(after('B', 'B')).toEqual([])
    expect(after('A', 'B')).toEqual([])
    expect(after('A', 'B', 'A')).toEqual(['R'])
  })

  test('follows the age at the first dose, with grace as in CDC cases 0588 and 0589', () => {
    const schedule = scheduleWith({
      graceDays: 4,
      series: [
        seriesOfA([{}, { after: '8 weeks' }], {
          variants: [{ when: { dose: 1, from: '24 months' }, total: 1 }],
        }),
      ],
    })
    const complete = (day: string) =>
      forecastFor(schedule, { born: '2010-03-18', asOf: '2013-01-01', given: [`A ${day}`] }).complete
    expect(complete('2012-03-13')).toEqual([])
    expect(complete('2012-03-14')).toEqual(['A'])
  })

  // CDC polio 4: not needed where dose 3 was given at 4 years and 6 months after dose 2.
  test('shrinks when a later dose was given late enough', () => {
    const schedule = scheduleWith({
      series: [
        seriesOfA(
          [{}, { after: '4 weeks' }, { after: '4 weeks' }, { earliest: '4 years', after: '6 months' }],
          {
            variants: [{ when: { dose: 3, from: '4 years', gap: '6 months' }, total: 3 }],
          },
        ),
      ],
    })
    const complete = (second: string, third: string) =>
      forecastFor(schedule, {
        born: BORN,
        asOf: '2030-01-01',
        given: ['A 2024-03-10', `A ${second}`, `A ${third}`],
      }).complete
    expect(complete('2024-05-10', '2028-01-10')).toEqual(['A'])
    expect(complete('2024-05-10', '2028-01-09')).toEqual([])
    expect(complete('2027-12-10', '2028-02-10')).toEqual([])
  })

  test('follows sex, birth weight and flags, where they are known', () => {
    const schedule = scheduleWith({
      series: [
        seriesOfA([{}, { after: '4 weeks' }], {
          variants: [
            { when: { birthWeightBelow: 2000 } },
            { when: { flag: 'preterm' } },
            { when: { sex: 'male' } },
            { when: {}, total: 1 },
          ],
        }),
      ],
    })
    const complete = (facts: object) =>
      forecastFor(schedule, { born: BORN, asOf: LATER, given: [`A ${BORN}`], facts }).complete
    expect(complete({})).toEqual(['A'])
    expect(complete({ birthWeightGrams: 2000 })).toEqual(['A'])
    expect(complete({ birthWeightGrams: 1999 })).toEqual([])
    expect(complete({ flags: ['preterm'] })).toEqual([])
    expect(complete({ sex: 'male' })).toEqual([])
  })
})

describe('a series for some children only', () => {
  const schedule = scheduleWith({
    series: [
      seriesOfA([{}], { onlyFor: { sex: 'female' } }),
      {
        id: 'B',
        name: 'b',
        vaccines: ['B'],
        doses: [{ earliest: '6 months', before: '9 months' }],
        onlyFor: { flag: 'outbreak' },
      },
    ],
  })

  test('is neither asked for nor finished for the others, and their doses do not count', () => {
    const boy = { born: BORN, asOf: LATER, given: [`A ${BORN}`], facts: { sex: 'male' as const } }
    expect(forecastFor(schedule, boy)).toMatchObject({ next: [], complete: [] })
    expect(verdictsFor(schedule, boy)).toEqual([['A not-counted']])
  })

  test('includes a child whose sex is not recorded', () => {
    expect(forecastFor(schedule, { born: BORN, asOf: LATER }).next.map(({ series }) => series)).toEqual(['A'])
  })

  test('opens with a flag that a clinician sets, and closes with it', () => {
    const seriesWith = (flags: string[]) =>
      forecastFor(schedule, { born: BORN, asOf: LATER, facts: { sex: 'male', flags } }).next.map(
        ({ series }) => series,
      )
    expect(seriesWith(['outbreak'])).toEqual(['B'])
    expect(seriesWith([])).toEqual([])
  })
})

describe('doses that are given but not counted', () => {
  const schedule = scheduleWith({
    series: [
      seriesOfA([{ earliest: '6 weeks', after: '4 weeks' }, { after: '4 weeks' }], {
        outside: [{ before: '2 weeks', why: 'birth dose' }],
      }),
    ],
  })

  test('stand outside the numbering', () => {
    const story = { born: BORN, asOf: LATER, given: [`A ${BORN}`, `A ${daysAfter(BORN, 42)}`] }
    expect(verdictsFor(schedule, story)).toEqual([['A not-counted'], ['A 1']])
  })

  test('still space the next dose', () => {
    const story = { born: BORN, asOf: LATER, given: [`A ${daysAfter(BORN, 13)}`] }
    const six = scheduleWith({
      series: [
        seriesOfA([{ earliest: '2 weeks', after: '4 weeks' }], {
          outside: [{ before: '2 weeks', why: 'birth dose' }],
        }),
      ],
    })
    expect(nextFor(six, story, 'A')).toBe(`A 1 from ${daysAfter(BORN, 41)}, due ${daysAfter(BORN, 41)}`)
  })

  test('are named in the series that takes them in, and not in the one they stand outside of', () => {
    const both = scheduleWith({
      series: [
        {
          id: 'A0',
          name: 'birth dose',
          vaccines: ['A'],
          doses: [{ before: '2 weeks' }],
          outside: [{ from: '2 weeks', why: 'later dose' }],
        },
        seriesOfA([{ earliest: '6 weeks' }], { outside: [{ before: '2 weeks', why: 'birth dose' }] }),
      ],
    })
    const story = { born: BORN, asOf: LATER, given: [`A ${BORN}`, `A ${daysAfter(BORN, 50)}`] }
    expect(verdictsFor(both, story)).toEqual([['A0 1'], ['A 1']])
  })

  // WHO Table 2 footnote: a birth dose under 2000 g does not count toward the primary series.
  test('may depend on the birth weight', () => {
    const light = scheduleWith({
      series: [
        seriesOfA([{}, { earliest: '6 weeks', after: '4 weeks' }, { after: '4 weeks' }], {
          outside: [{ birthWeightBelow: 2000, before: '4 weeks', why: 'under 2000 g' }],
        }),
      ],
    })
    const numberFor = (birthWeightGrams: number) =>
      forecastFor(light, { born: BORN, asOf: LATER, given: [`A ${BORN}`], facts: { birthWeightGrams } })
        .next[0]?.dose
    expect(numberFor(2000)).toBe(2)
    expect(numberFor(1999)).toBe(1)
  })
})

describe('the repeat of a dose that does not count', () => {
  const withRepeat = (repeatFrom: string) =>
    scheduleWith({
      repeatFrom,
      series: [seriesOfA([{ earliest: '6 weeks', after: '4 weeks' }, { after: '4 weeks' }])],
    })
  const tooYoung = { born: BORN, asOf: LATER, given: [`A ${daysAfter(BORN, 37)}`] }
  const tooSoon = { born: BORN, asOf: LATER, given: [`A ${daysAfter(BORN, 50)}`, `A ${daysAfter(BORN, 60)}`] }

  // WHO 2021 catch-up guidance, Box 2 (L1): counted from the invalid dose.
  test('is spaced from it', () => {
    expect(forecastFor(withRepeat('any-dose'), tooYoung).next[0]?.earliest).toBe(daysAfter(BORN, 65))
    expect(forecastFor(withRepeat('any-dose'), tooSoon).next[0]?.earliest).toBe(daysAfter(BORN, 88))
  })

  // The CDC rows 2013-0728, 0596, 0762 and 0189 do otherwise for a first dose that is too young.
  test('or, where the schedule says so, from counted doses only', () => {
    expect(forecastFor(withRepeat('counted-dose'), tooYoung).next[0]?.earliest).toBe(daysAfter(BORN, 42))
    expect(forecastFor(withRepeat('counted-dose'), tooSoon).next[0]?.earliest).toBe(daysAfter(BORN, 78))
  })
})

describe('a long gap', () => {
  const story = { born: BORN, asOf: '2024-06-01', given: ['A 2024-02-01', 'A 2024-05-01'] }

  test('does not start a series again', () => {
    const schedule = scheduleWith({ series: [seriesOfA([{}, { after: '4 weeks' }, { after: '4 weeks' }])] })
    expect(verdictsFor(schedule, story)).toEqual([['A 1'], ['A 2']])
  })

  // WHO Table 3, exceptions: oral typhoid Ty21a restarts after more than 21 days.
  test('does where the schedule says so, for given doses and for the next', () => {
    const schedule = scheduleWith({
      series: [seriesOfA([{}, { after: '2 days' }, { after: '2 days' }], { restartAfter: '21 days' })],
    })
    expect(verdictsFor(schedule, story)).toEqual([['A 1'], ['A 1']])
    expect(nextFor(schedule, { ...story, asOf: '2024-05-22' }, 'A')).toBe(
      'A 2 from 2024-05-03, due 2024-05-03',
    )
    expect(nextFor(schedule, { ...story, asOf: '2024-05-23' }, 'A')).toBe(
      'A 1 from 2024-05-02, due 2024-05-02',
    )
  })
})

describe('a series that waits for another', () => {
  const schedule = scheduleWith({
    series: [
      { id: 'B', name: 'b', vaccines: ['B'], doses: [{ after: [{ since: 'A 2', minimum: '4 weeks' }] }] },
      seriesOfA([{}, { after: '4 weeks' }]),
    ],
  })

  test('has no row until the dose it is counted from is given', () => {
    const rows = (...given: string[]) =>
      forecastFor(schedule, { born: BORN, asOf: LATER, given }).next.map(
        ({ series, earliest }) => `${series} ${earliest}`,
      )
    expect(rows('A 2024-02-01')).toEqual(['A 2024-02-29'])
    expect(rows('A 2024-02-01', 'A 2024-03-01')).toEqual(['B 2024-03-29'])
  })

  test('does not count a dose given before that', () => {
    const story = { born: BORN, asOf: LATER, given: ['B 2024-02-01', 'A 2024-02-01', 'A 2024-03-01'] }
    expect(verdictsFor(schedule, story)).toEqual([['B 1 too-soon'], ['A 1'], ['A 2']])
  })
})

describe('a record with nonsense in it', () => {
  const schedule = scheduleWith({
    series: [seriesOfA([{ earliest: '6 weeks', before: '1 year' }, { after: '4 weeks' }])],
  })

  test('gets a verdict for every dose and dates as if the nonsense were not there', () => {
    const story = {
      born: BORN,
      asOf: '2024-06-01',
      given: [
        'A 2024-03-01',
        'A 2024-03-01',
        'A 2023-12-31',
        'A 2024-06-02',
        'UNHEARDOF 2024-03-01',
        'A 2024-05-01',
        'A 2024-05-30',
      ],
    }
    expect(verdictsFor(schedule, story)).toEqual([
      ['A 1'],
      ['A repeat-same-day'],
      ['A before-birth'],
      ['A future'],
      [],
      ['A 2'],
      ['A surplus'],
    ])
    expect(forecastFor(schedule, story).complete).toEqual(['A'])
  })

  test('of forty doses is answered', () => {
    const given = Array.from({ length: 40 }, (_, place) => `A ${daysAfter('2024-03-01', place * 30)}`)
    const verdicts = verdictsFor(schedule, { born: BORN, asOf: '2028-01-01', given })
    expect(verdicts.filter(([verdict]) => verdict === 'A surplus')).toHaveLength(38)
  })

  test('of a dose after the last day says so', () => {
    expect(verdictsFor(schedule, { born: BORN, asOf: LATER, given: ['A 2025-01-09'] })).toEqual([['A 1']])
    expect(verdictsFor(schedule, { born: BORN, asOf: LATER, given: ['A 2025-01-10'] })).toEqual([
      ['A 1 too-old'],
    ])
  })
})

test('a retired vaccine still counts on old records, and another is asked for', () => {
  const vaccines = [
    { code: 'A', name: 'a', kind: 'inactivated', route: 'intramuscular' },
    { code: 'B', name: 'b', kind: 'inactivated', route: 'intramuscular', retired: true },
  ]
  const schedule = scheduleWith({
    vaccines,
    series: [seriesOfA([{}, { after: '4 weeks' }], { vaccines: ['A', 'B'] })],
  })
  const story = { born: BORN, asOf: LATER, given: ['B 2024-02-01'] }
  expect(verdictsFor(schedule, story)).toEqual([['A 1']])
  expect(forecastFor(schedule, story).next[0]).toMatchObject({ dose: 2, vaccine: 'A' })
})
