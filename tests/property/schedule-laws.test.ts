import fc from 'fast-check'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import { forecast } from '../../src/core/schedule/forecast.ts'
import type { ChildFacts, Forecast, GivenDose, NextDose } from '../../src/core/schedule/forecast-types.ts'
import type { Schedule } from '../../src/core/schedule/schedule.ts'
import { visitPlan } from '../../src/core/schedule/visit-plan.ts'
import { listDataFiles } from '../../src/platform/data-files.ts'
import { scheduleFromFile, shippedSchedule } from '../support/schedules.ts'

const RUNS = { numRuns: 1000 }

/** Every law is tried on a schedule drawn from all that ship and one with grace. */
const schedules: readonly Schedule[] = [
  ...listDataFiles('schedules').map(shippedSchedule),
  scheduleFromFile('tests/fixtures/schedules/cdc-2013.json'),
]

interface Case {
  readonly schedule: Schedule
  readonly child: ChildFacts
  readonly asOf: Day
}

function casesOf(schedule: Schedule): fc.Arbitrary<Case> {
  return fc
    .record({
      birthOn: fc.integer({ min: mustParseDay('2019-12-25'), max: mustParseDay('2024-03-05') }),
      age: fc.integer({ min: 0, max: 2000 }),
      sex: fc.constantFrom('female' as const, 'male' as const),
      birthWeightGrams: fc.integer({ min: 1200, max: 4200 }),
      doses: fc.array(
        fc.record({
          vaccine: fc.constantFrom(...schedule.vaccines.keys()),
          age: fc.integer({ min: -5, max: 1600 }),
        }),
        {
          maxLength: 16,
        },
      ),
    })
    .map(({ birthOn, age, sex, birthWeightGrams, doses }) => {
      const born = birthOn as Day
      const given = doses.map((dose) => ({ vaccine: dose.vaccine, on: addDays(born, dose.age) }))
      return { schedule, child: { birthOn: born, sex, birthWeightGrams, given }, asOf: addDays(born, age) }
    })
}

const withDose = (child: ChildFacts, dose: GivenDose): ChildFacts => ({
  ...child,
  given: [...child.given, dose],
})

function rowOf({ next }: Forecast, series: string): NextDose | undefined {
  return next.find((row) => row.series === series)
}

/** What a dose handed in last is for a series. */
function lastVerdict(
  { given }: Forecast,
  series: string,
): { valid: boolean; dose: number | null } | undefined {
  return given.at(-1)?.counts.find((verdict) => verdict.series === series)
}

const laterOf = (one: Day, other: Day): Day => (one > other ? one : other)

const cases = fc.constantFrom(...schedules).chain(casesOf)

function check(law: (one: Case) => void): void {
  fc.assert(fc.property(cases, law), RUNS)
}

describe('laws of forecasting', () => {
  test('every dose gets a verdict for each of its series, and every open series one next dose', () => {
    check(({ schedule, child, asOf }) => {
      const made = forecast(schedule, child, asOf)
      expect(made.given.map(({ vaccine, on }) => ({ vaccine, on }))).toEqual(child.given)
      for (const { vaccine, counts } of made.given)
        expect(counts.length > 0).toBe((schedule.vaccines.get(vaccine)?.countsIn.length ?? 0) > 0)
      for (const { valid, reason } of made.given.flatMap(({ counts }) => counts))
        expect(valid).toBe(reason === null)
      const names = [...made.next.map(({ series }) => series), ...made.complete]
      expect(new Set(names).size).toBe(names.length)
    })
  })

  test('dates are in order: earliest, due, overdue, latest', () => {
    check(({ schedule, child, asOf }) => {
      for (const { earliest, due, overdue, latest, status } of forecast(schedule, child, asOf).next) {
        expect(due).toBeGreaterThanOrEqual(earliest)
        if (overdue !== null) expect(overdue).toBeGreaterThanOrEqual(due)
        if (overdue !== null && latest !== null) expect(overdue).toBeLessThanOrEqual(latest)
        if (status !== 'closed' && latest !== null) expect(due).toBeLessThanOrEqual(latest)
      }
    })
  })

  test('a dose given on the day it is due always counts, under the number that was asked for', () => {
    check(({ schedule, child, asOf }) => {
      for (const row of forecast(schedule, child, asOf).next.filter(({ status }) => status !== 'closed')) {
        const given = withDose(child, { vaccine: row.vaccine, on: row.due })
        const known = {
          ...given,
          given: given.given.filter(({ on }, place) => on <= asOf || place === child.given.length),
        }
        const after = forecast(schedule, known, laterOf(asOf, row.due))
        expect(lastVerdict(after, row.series)).toMatchObject({ valid: true, dose: row.dose })
      }
    })
  })

  test('one day before the earliest, beyond any grace, it never counts under that number', () => {
    check(({ schedule, child, asOf }) => {
      const now = { ...child, given: child.given.filter(({ on }) => on <= asOf) }
      for (const row of forecast(schedule, now, asOf).next) {
        const on = addDays(row.earliest, -1 - schedule.graceDays)
        const after = forecast(schedule, withDose(now, { vaccine: row.vaccine, on }), laterOf(asOf, on))
        const isInOrder = now.given.every((dose) => dose.on < on)
        if (isInOrder) expect(lastVerdict(after, row.series)?.valid ?? false).toBe(false)
      }
    })
  })

  test('the order in which doses are handed in does not matter', () => {
    const both = cases.chain((one) =>
      fc
        .shuffledSubarray([...one.child.given], { minLength: one.child.given.length })
        .map((given) => ({ one, given })),
    )
    fc.assert(
      fc.property(both, ({ one: { schedule, child, asOf }, given }) => {
        const [first, second] = [
          forecast(schedule, child, asOf),
          forecast(schedule, { ...child, given }, asOf),
        ]
        expect(second.next).toEqual(first.next)
        expect(second.complete).toEqual(first.complete)
        const sorted = (made: Forecast): string[] => made.given.map((dose) => JSON.stringify(dose)).sort()
        expect(sorted(second)).toEqual(sorted(first))
      }),
      RUNS,
    )
  })

  test('another valid dose never brings the next dose of another series forward', () => {
    check(({ schedule, child, asOf }) => {
      const now = { ...child, given: child.given.filter(({ on }) => on <= asOf) }
      const before = forecast(schedule, now, asOf)
      for (const row of before.next.filter(
        ({ earliest, status }) => earliest <= asOf && status !== 'closed',
      )) {
        const after = forecast(schedule, withDose(now, { vaccine: row.vaccine, on: asOf }), asOf)
        const counted = new Set(
          schedule.vaccines.get(row.vaccine)?.countsIn.map((index) => schedule.series[index]?.id),
        )
        for (const other of before.next.filter(({ series }) => !counted.has(series)))
          expect(rowOf(after, other.series)?.earliest ?? Infinity).toBeGreaterThanOrEqual(other.earliest)
      }
    })
  })

  test('a finished series has no next dose, and whatever is given then is surplus or not counted', () => {
    check(({ schedule, child, asOf }) => {
      const now = { ...child, given: child.given.filter(({ on }) => on < asOf) }
      const made = forecast(schedule, now, asOf)
      for (const id of made.complete) {
        expect(rowOf(made, id)).toBeUndefined()
        const code = schedule.series.find((series) => series.id === id)?.vaccines[0] ?? ''
        const verdict = forecast(schedule, withDose(now, { vaccine: code, on: asOf }), asOf).given.at(-1)
        expect(verdict?.counts.find(({ series }) => series === id)?.valid ?? false).toBe(false)
      }
    })
  })

  test('dates do not depend on the day of asking, once every dose is known', () => {
    check(({ schedule, child, asOf }) => {
      const now = { ...child, given: child.given.filter(({ on }) => on <= asOf) }
      const [today, later] = [forecast(schedule, now, asOf), forecast(schedule, now, addDays(asOf, 400))]
      const dated = ({ next }: Forecast): unknown => next.map((row) => ({ ...row, status: 'any' }))
      expect(dated(later)).toEqual(dated(today))
    })
  })

  test('a forecast changes nothing it was given', () => {
    check(({ schedule, child, asOf }) => {
      const before = JSON.stringify(child)
      const first = forecast(schedule, child, asOf)
      expect(JSON.stringify(child)).toBe(before)
      expect(forecast(schedule, child, asOf)).toEqual(first)
    })
  })

  test('a child who comes whenever something is due finishes every series that is still open', () => {
    fc.assert(
      fc.property(fc.constantFrom(...schedules), fc.integer({ min: 0, max: 60 }), (schedule, months) => {
        const plan = visitPlan(schedule, { months, days: 0, text: '' }, { sex: 'female' })
        const closed = plan.missed.map(({ series }) => series)
        expect([...plan.complete, ...closed].sort()).toEqual(schedule.series.map(({ id }) => id).sort())
        expect(plan.missed.every(({ status }) => status === 'closed')).toBe(true)
      }),
      RUNS,
    )
  })
})
