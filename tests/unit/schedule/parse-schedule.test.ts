import { parseSchedule } from '../../../src/core/schedule/parse-schedule.ts'
import { listDataFiles } from '../../../src/platform/data-files.ts'
import { scheduleDataWith, seriesOfA } from '../../support/a-schedule.ts'
import { shippedSchedule } from '../../support/schedules.ts'

function problemsWith(parts: Readonly<Record<string, unknown>>): string[] {
  const parsed = parseSchedule(scheduleDataWith(parts))
  return parsed.kind === 'schedule' ? [] : parsed.problems.map(({ path, message }) => `${path}: ${message}`)
}

const seriesOfB = (doses: readonly unknown[], parts: object = {}) => ({
  id: 'B',
  name: 'b',
  vaccines: ['B'],
  doses,
  ...parts,
})

describe('a schedule that contradicts itself is refused, saying where', () => {
  test.each([
    [
      'series that wait for each other in a circle',
      {
        series: [
          seriesOfA([{ after: [{ since: 'B 1', minimum: '0 days' }] }]),
          seriesOfB([{ after: [{ since: 'A 1', minimum: '0 days' }] }]),
        ],
      },
      /^series: .*circle/,
    ],
    [
      'an earliest age after the last',
      { series: [seriesOfA([{ earliest: '9 months', before: '6 months' }])] },
      /^series\.A\.doses\.1: .*only before 6 months/,
    ],
    [
      'a due age before the earliest',
      { series: [seriesOfA([{ earliest: '9 months', due: '6 weeks' }])] },
      /^series\.A\.doses\.1: .*before its earliest/,
    ],
    [
      'an overdue age before the due',
      { series: [seriesOfA([{ due: '9 months', overdue: '6 months' }])] },
      /^series\.A\.doses\.1: .*overdue at 6 months/,
    ],
    [
      'a usual interval below the minimum',
      { series: [seriesOfA([{}, { after: [{ since: 'previous', minimum: '8 weeks', usual: '4 weeks' }] }])] },
      /^series\.A\.doses\.2: .*shorter than the minimum/,
    ],
    [
      'a dose that no child can reach',
      {
        series: [
          seriesOfA([
            { earliest: '5 months', before: '6 months' },
            { before: '6 months', after: '8 weeks' },
          ]),
        ],
      },
      /^series\.A\.doses\.2: .*time is over/,
    ],
    [
      'a dose counted from one that does not come before it',
      { series: [seriesOfA([{}, { after: [{ since: 'dose 2', minimum: '4 weeks' }] }])] },
      /^series\.A\.doses\.2: .*does not come before/,
    ],
    [
      'a series counted from a dose that does not exist',
      { series: [seriesOfA([{}]), seriesOfB([{ after: [{ since: 'A 2', minimum: '4 weeks' }] }])] },
      /^series\.B\.doses\.1: .*has no dose 2/,
    ],
    [
      'a series counted from an unknown one',
      { series: [seriesOfA([{ after: [{ since: 'C 1', minimum: '4 weeks' }] }])] },
      /^series\.A\.doses\.1: .*not a series/,
    ],
    [
      'a series whose every dose stands outside',
      { series: [seriesOfA([{}], { outside: [{ from: '0 days', why: 'all' }] })] },
      /^series\.A/,
    ],
    [
      'two live vaccines that nothing keeps apart',
      {
        series: [
          { id: 'L', name: 'l', vaccines: ['LIVE'], doses: [{}] },
          { id: 'O', name: 'o', vaccines: ['OTHERLIVE'], doses: [{}] },
        ],
      },
      /^liveSpacing: LIVE and OTHERLIVE/,
    ],
    [
      'an unknown vaccine in a series',
      { series: [seriesOfA([{}], { vaccines: ['A', 'NEW'] })] },
      /^series\.A: the vaccine NEW/,
    ],
    [
      'an unknown vaccine to ask for',
      { series: [seriesOfA([{ give: 'NEW' }])] },
      /^series\.A: the vaccine NEW/,
    ],
    [
      'an unknown exempt vaccine',
      { liveSpacing: { minimum: '4 weeks', exempt: ['NEW'] } },
      /^liveSpacing\.exempt: the vaccine NEW/,
    ],
    [
      'a retired vaccine to ask for',
      { vaccines: [{ code: 'A', name: 'a', kind: 'inactivated', route: 'oral', retired: true }] },
      /^series\.A: .*retired/,
    ],
    ['a series defined twice', { series: [seriesOfA([{}]), seriesOfA([{}])] }, /^series\.A: .*twice/],
    [
      'a variant of more doses than there are rules',
      { series: [seriesOfA([{}], { variants: [{ when: {}, total: 2 }] })] },
      /^series\.A\.variants\.1\.total/,
    ],
    [
      'a variant of a dose that is not there',
      { series: [seriesOfA([{}, {}], { variants: [{ when: {}, total: 1, doses: { 2: {} } }] })] },
      /^series\.A\.variants\.1\.doses\.2/,
    ],
    [
      'an age condition that names no dose',
      { series: [seriesOfA([{}], { variants: [{ when: { from: '1 year' } }] })] },
      /^series\.A\.variants\.1\.when: say of which/,
    ],
    [
      'a variant that an earlier one hides',
      {
        series: [
          seriesOfA([{}, { after: '4 weeks' }], {
            variants: [
              { when: { dose: 1, from: '12 months' }, total: 2 },
              { when: { dose: 1, from: '24 months' }, total: 1 },
            ],
          }),
        ],
      },
      /^series\.A\.variants\.2: variant 1 holds whenever it does/,
    ],
    [
      'a variant behind "otherwise"',
      { series: [seriesOfA([{}, {}], { variants: [{ when: {} }, { when: { sex: 'male' }, total: 1 }] })] },
      /^series\.A\.variants\.2: variant 1 holds/,
    ],
    [
      'a condition that nothing meets',
      { series: [seriesOfA([{}], { variants: [{ when: { dose: 1, from: '2 years', before: '1 year' } }] })] },
      /^series\.A\.variants\.1\.when: nothing is given from 2 years and before 1 year/,
    ],
    [
      'a dose of a variant whose time is over when the variant begins',
      {
        series: [
          seriesOfA([{}, { before: '12 months', after: '4 weeks' }], {
            variants: [{ when: { dose: 1, from: '12 months' }, doses: { 2: { after: '8 weeks' } } }],
          }),
        ],
      },
      /^series\.A\.variants\.1\.doses\.2: .*only before 12 months/,
    ],
    [
      'two live doses of one series that nothing keeps apart',
      { series: [{ id: 'L', name: 'l', vaccines: ['LIVE'], doses: [{}, { due: '15 months' }] }] },
      /^series\.L\.doses\.2: LIVE is live/,
    ],
    [
      'a series that starts again before its next dose',
      { series: [seriesOfA([{}, { after: '4 weeks' }], { restartAfter: '3 weeks' })] },
      /^series\.A\.doses\.2: .*starts again/,
    ],
    ['an adoption rule on a dose that is not there', { adoption: { without: 'A 2' } }, /^adoption\.without/],
  ])('%s', (_name, parts, expected) => {
    expect(problemsWith(parts)).toEqual(expect.arrayContaining([expect.stringMatching(expected)]))
  })

  test('a variant that only looks hidden is not refused', () => {
    const variants = [
      { when: [{ dose: 1, from: '24 months' }, { sex: 'female' }], total: 1 },
      { when: { dose: 1, from: '24 months', before: '5 years' }, total: 2 },
      { when: { dose: 1, from: '12 months' }, total: 2 },
      { when: { dose: 2, from: '24 months', gap: '8 weeks' }, total: 2 },
      { when: { products: ['A'], flag: 'preterm' } },
      { when: { products: ['A', 'B'], birthWeightBelow: 2000 } },
      { when: { birthWeightBelow: 2500 } },
    ]
    const series = seriesOfA([{}, { after: '4 weeks' }, { after: '4 weeks' }], {
      vaccines: ['A', 'B'],
      variants,
    })
    expect(problemsWith({ series: [series] })).toEqual([])
  })

  test.each([
    ['a length without a unit', { series: [seriesOfA([{ earliest: '6' }])] }],
    ['an impossible effective date', { effectiveFrom: '2026-02-30' }],
    ['no source', { sources: [] }],
    ['an unknown key', { restart: true }],
    ['a series without doses', { series: [seriesOfA([])] }],
    [
      'an interval since nothing known',
      { series: [seriesOfA([{ after: [{ since: 'tuesday', minimum: '4 weeks' }] }])] },
    ],
  ])('or of the wrong shape: %s', (_name, parts) => {
    expect(problemsWith(parts)).not.toEqual([])
  })

  test.each([[null], ['text'], [[]], [42]])('and is not a schedule at all: %p', (data) => {
    expect(parseSchedule(data).kind).toBe('invalid')
  })
})

test('a shape problem is named by ids, codes and places counted from 1', () => {
  const series = [seriesOfA([{}, { after: '4 fortnights' }])]
  expect(problemsWith({ series })).toEqual([
    expect.stringMatching(/^series\.A\.doses\.2\.after\.1\.minimum: write a length/),
  ])
})

describe('shipped schedules', () => {
  test.each(listDataFiles('schedules'))(
    '%s is right, names a source with its edition, and yields to national law',
    (id) => {
      const schedule = shippedSchedule(id)
      expect(schedule.id).toBe(id)
      expect(schedule.sources.length).toBeGreaterThan(0)
      expect(schedule.notice).toContain('your national schedule prevails')
    },
  )

  // WHO Table 2, December 2025, polio footnote: no fractional doses on the early 6/14-week option.
  test.each(listDataFiles('schedules').filter((id) => id.startsWith('fractional') || id === 'months-2-4-6'))(
    '%s shows what WHO says of early fractional doses',
    (id) => {
      const [remark] = shippedSchedule(id).remarks.filter(({ dose }) => dose === 'IPV 1')
      expect(remark?.text).toContain('WHO does not recommend fractional doses')
    },
  )
})
