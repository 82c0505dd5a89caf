import fc from 'fast-check'
import { mustParseDay } from '../../src/core/days/day.ts'
import { forecast } from '../../src/core/schedule/forecast.ts'
import { forecastJson } from '../../src/core/schedule/forecast-json.ts'
import { daysAfter } from '../support/a-schedule.ts'
import { scheduleData, scheduleFromFile } from '../support/schedules.ts'
import { asScheduleText, secondOpinion } from '../support/second-opinion.ts'
import type { Infant, Opinion } from '../support/second-opinion.ts'

const CHILDREN = 5000

/** Ages at which rules turn, in days: doses are drawn at and around them. */
const TURNS = [0, 14, 28, 42, 70, 98, 120, 182, 214, 274, 361, 365, 393, 457, 550, 730, 1461]

function infants(vaccines: readonly string[]): fc.Arbitrary<Infant> {
  const age = fc.oneof(
    fc.tuple(fc.constantFrom(...TURNS), fc.integer({ min: -6, max: 6 })).map(([turn, off]) => turn + off),
    fc.integer({ min: -3, max: 2200 }),
  )
  const dose = fc.record({ vaccine: fc.constantFrom(...vaccines), age })
  // Half of the children come for one vaccine again and again, some weeks apart.
  const repeats = fc
    .tuple(fc.constantFrom(...vaccines), age, fc.array(fc.integer({ min: 20, max: 70 }), { maxLength: 4 }))
    .map(([vaccine, first, gaps]) =>
      [0, ...gaps].map((_, place, all) => ({
        vaccine,
        age: first + all.slice(0, place + 1).reduce((sum, gap) => sum + gap, 0),
      })),
    )
  return fc
    .record({
      birth: fc.integer({ min: 0, max: 1500 }),
      ageAsOf: fc.integer({ min: 0, max: 2400 }),
      sex: fc.option(fc.constantFrom('female', 'male'), { nil: undefined }),
      birthWeightGrams: fc.option(fc.integer({ min: 900, max: 4500 }), { nil: undefined }),
      doses: fc
        .array(
          fc.oneof(
            dose.map((one) => [one]),
            repeats,
          ),
          { maxLength: 6 },
        )
        .map((all) => all.flat()),
    })
    .map(({ birth, ageAsOf, sex, birthWeightGrams, doses }) => {
      const born = daysAfter('2019-12-15', birth)
      return {
        born,
        asOf: daysAfter(born, ageAsOf),
        ...(sex === undefined ? {} : { sex }),
        ...(birthWeightGrams === undefined ? {} : { birthWeightGrams }),
        given: doses.map(({ vaccine, age: at }) => ({ vaccine, date: daysAfter(born, at) })),
      }
    })
}

function engineOpinion(file: string, infant: Infant): Opinion {
  const { given, next, complete } = forecastJson(
    forecast(
      scheduleFromFile(file),
      {
        birthOn: mustParseDay(infant.born),
        ...(infant.sex === 'female' || infant.sex === 'male' ? { sex: infant.sex } : {}),
        ...(infant.birthWeightGrams === undefined ? {} : { birthWeightGrams: infant.birthWeightGrams }),
        given: infant.given.map(({ vaccine, date }) => ({ vaccine, on: mustParseDay(date) })),
      },
      mustParseDay(infant.asOf),
    ),
  )
  return {
    verdicts: given.map(({ counts }) =>
      counts.map(({ series, dose, reason }) => `${series} ${dose ?? '-'} ${reason ?? 'valid'}`).join('; '),
    ),
    next: next.map(
      ({ series, dose, vaccine, earliest, due, overdue, latest, status }) =>
        `${series} ${dose} ${vaccine} ${earliest} ${due} ${overdue} ${latest} ${status}`,
    ),
    complete: [...complete],
  }
}

test.each([
  'src/data/schedules/who-2025-preferred.json',
  'src/data/schedules/fractional-6-10-14-weeks.json',
  'tests/fixtures/schedules/cdc-2013.json',
])(
  `the engine agrees with a day-by-day search on ${CHILDREN} random children: %s`,
  (file) => {
    const text = asScheduleText(scheduleData(file))
    const codes = [...text.vaccines.map(({ code }) => code), 'UNHEARDOF']
    fc.assert(
      fc.property(infants(codes), (infant) => {
        expect(engineOpinion(file, infant)).toEqual(secondOpinion(text, infant))
      }),
      { numRuns: CHILDREN },
    )
  },
  120_000,
)
