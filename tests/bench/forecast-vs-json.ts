import { formatDay, mustParseDay } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import { forecast } from '../../src/core/schedule/forecast.ts'
import type { ChildFacts } from '../../src/core/schedule/forecast-types.ts'
import { shippedSchedule } from '../support/schedules.ts'
import { measured, median } from './measurement.ts'
import type { Measurement } from './measurement.ts'

/** Fourteen doses of a first year, by age in days. */
const HISTORY: readonly (readonly [vaccine: string, age: number])[] = [
  ['BCG', 0],
  ['HEPB', 0],
  ['BOPV', 42],
  ['PENTA', 42],
  ['PCV', 42],
  ['ROTA2', 42],
  ['BOPV', 71],
  ['PENTA', 71],
  ['PCV', 71],
  ['ROTA2', 71],
  ['BOPV', 99],
  ['FIPV', 99],
  ['PENTA', 99],
  ['MR', 280],
]
export const FIRST_BIRTH_ON = mustParseDay('2023-01-01')
export const AGE_IN_DAYS = 380
const BATCH = 250

/** A child with all of them. */
export function childBornOn(birthOn: Day): ChildFacts {
  // A day plus whole days is a day.
  const given = HISTORY.map(([vaccine, age]) => ({ vaccine, on: (birthOn + age) as Day }))
  return { birthOn, sex: 'female', birthWeightGrams: 2900, given }
}

/** The child's record as `duebell forecast` reads it. */
function recordOf(child: ChildFacts, place: number): string {
  return JSON.stringify({
    id: `child-${place}`,
    birthDate: formatDay(child.birthOn),
    asOf: formatDay((child.birthOn + AGE_IN_DAYS) as Day),
    sex: child.sex,
    birthWeightGrams: child.birthWeightGrams,
    given: child.given.map(({ vaccine, on }) => ({ vaccine, date: formatDay(on) })),
  })
}

/**
 * Children with 14 doses forecast a second, beside records of the same children that JSON reads and writes a second
 * (`JSON.stringify(JSON.parse(record))`), in turns; medians. At 1.0 both cost the same; more is faster.
 */
export function forecastVsJson(rounds = 400): Measurement {
  const schedule = shippedSchedule('who-2025-preferred')
  const children = Array.from({ length: BATCH }, (_, place) => childBornOn((FIRST_BIRTH_ON + place) as Day))
  const records = children.map(recordOf)
  // Every result is used, so that none of the work can be left out.
  let used = 0
  const forecastAll = (): void => {
    for (const child of children)
      used += forecast(schedule, child, (child.birthOn + AGE_IN_DAYS) as Day).next.length
  }
  const copyAll = (): void => {
    for (const record of records) used += JSON.stringify(JSON.parse(record)).length
  }
  const ours: number[] = []
  const baseline: number[] = []
  for (let round = 0; round < rounds; round += 1) {
    ours.push(nanosecondsOf(forecastAll) / BATCH)
    baseline.push(nanosecondsOf(copyAll) / BATCH)
  }
  if (used === 0) throw new Error('nothing was measured')
  // The first quarter warms the compiler up.
  const settled = Math.floor(rounds / 4)
  const [mine, theirs] = [ours, baseline].map((times) => 1e9 / median(times.slice(settled)))
  const figures = { ours: mine ?? NaN, baseline: theirs ?? NaN, n: rounds * BATCH, unit: 'children/s' }
  return measured({ name: 'forecast-vs-json', ...figures }, 'at-least', 1)
}

function nanosecondsOf(work: () => void): number {
  const start = process.hrtime.bigint()
  work()
  return Number(process.hrtime.bigint() - start)
}
