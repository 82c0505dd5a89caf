import fc from 'fast-check'
import { addDays, mustParseDay } from '../../../src/core/days/day.ts'
import { explain } from '../../../src/core/schedule/explain.ts'
import { forecast } from '../../../src/core/schedule/forecast.ts'
import { planOf, risksAskedBy } from '../../../src/core/schedule/own-plan.ts'
import { scheduleFromFile, shippedSchedule } from '../../support/schedules.ts'

const birthOn = mustParseDay('2026-01-20')
const schedule = shippedSchedule('fractional-2-4-months')

describe('a vaccine that a clinician put off', () => {
  const today = mustParseDay('2026-03-20')
  const until = mustParseDay('2026-04-20')
  const plain = { birthOn, given: [] }
  const own = { ...plain, putOff: [{ vaccine: 'PENTA', until }] }

  test('is asked for from that day on, with the reason, and the others as before', () => {
    const made = forecast(schedule, own, today)
    const row = made.next.find(({ vaccine }) => vaccine === 'PENTA')
    const place = made.next.findIndex(({ vaccine }) => vaccine === 'PENTA')

    expect(row).toMatchObject({ due: until, earliest: until, status: 'not-yet' })
    expect(explain(schedule, own, made).next[place]?.due).toBe(
      'PENTA 1 asked for on 2026-04-20: put off by a clinician',
    )
    const others = (child: typeof plain) =>
      forecast(schedule, child, today).next.filter(({ vaccine }) => vaccine !== 'PENTA')
    expect(others(own)).toEqual(others(plain))
  })

  test('counts all the same where it was given before', () => {
    const given = [{ vaccine: 'PENTA', on: today }]

    expect(forecast(schedule, { ...own, given }, today).given).toEqual(
      forecast(schedule, { ...plain, given }, today).given,
    )
  })

  test('never makes anything due earlier', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 900 }), fc.integer({ min: -100, max: 900 }), (age, wait) => {
        const asOf = addDays(birthOn, age)
        const putOff = [{ vaccine: 'PENTA', until: addDays(asOf, wait) }]
        const before = forecast(schedule, plain, asOf).next
        const after = forecast(schedule, { ...plain, putOff }, asOf).next
        return after.every((row, place) => row.due >= (before[place]?.due ?? row.due))
      }),
      { numRuns: 1000 },
    )
  })
})

describe('what several decisions come to', () => {
  test('of two days for one vaccine the later counts, and risks stand once', () => {
    const [early, late] = [mustParseDay('2026-04-01'), mustParseDay('2026-05-01')]

    expect(
      planOf([
        { kind: 'put-off', vaccine: 'MR', until: late },
        { kind: 'risk', risk: 'preterm' },
        { kind: 'put-off', vaccine: 'MR', until: early },
        { kind: 'risk', risk: 'preterm' },
      ]),
    ).toEqual({ putOff: [{ vaccine: 'MR', until: late }], risks: ['preterm'] })
  })
})

test('a schedule names the risks that its rules ask for', () => {
  expect([...risksAskedBy(scheduleFromFile('tests/fixtures/schedules/who-ig/pcv-2p1.json'))].sort()).toEqual([
    'high-risk',
    'hiv',
    'preterm',
  ])
  expect([...risksAskedBy(schedule)]).toEqual([])
})
