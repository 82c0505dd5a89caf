import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { formatDay, mustParseDay } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import { forecast } from '../../src/core/schedule/forecast.ts'
import type { ChildFacts } from '../../src/core/schedule/forecast-types.ts'
import { shippedSchedule } from '../support/schedules.ts'

/** One line of the benchmark table; `ratio` is ours to the baseline, in the sense in which more is better. */
export interface Measurement {
  readonly name: string
  readonly ours: number
  readonly baseline: number
  readonly ratio: number
  readonly bound: number
  readonly ok: boolean
  readonly n: number
  readonly unit: string
}

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
const FIRST_BIRTH_ON = mustParseDay('2023-01-01')
const AGE_IN_DAYS = 380
const BATCH = 250

function childBornOn(birthOn: Day): ChildFacts {
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

/** Forecasts of children with 14 doses beside reading and writing their records as JSON, in turns; medians. */
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
  const mine = 1e9 / median(ours.slice(settled))
  const theirs = 1e9 / median(baseline.slice(settled))
  const ratio = mine / theirs
  return {
    name: 'forecast-vs-json',
    ours: mine,
    baseline: theirs,
    ratio,
    bound: 1,
    ok: ratio >= 1,
    n: rounds * BATCH,
    unit: 'children/s',
  }
}

/** Memory still held after forecasting many children, beside what was held after the first fifth of them. */
export function forecastMemory(children = 1_000_000): Measurement {
  const schedule = shippedSchedule('who-2025-preferred')
  let used = 0
  const run = (count: number): number => {
    for (let place = 0; place < count; place += 1) {
      const child = childBornOn((FIRST_BIRTH_ON + (place % 700)) as Day)
      used += forecast(schedule, child, (child.birthOn + AGE_IN_DAYS) as Day).next.length
    }
    collectGarbage()
    return process.memoryUsage().heapUsed
  }
  const fifth = Math.floor(children / 5)
  const baseline = run(fifth)
  const ours = run(children - fifth)
  if (used === 0) throw new Error('nothing was measured')
  const ratio = ours / baseline
  return {
    name: 'forecast-memory',
    ours,
    baseline,
    ratio,
    bound: 1.2,
    ok: ratio <= 1.2,
    n: children,
    unit: 'bytes held',
  }
}

setFlagsFromString('--expose-gc')
// The flag puts `gc` into every new context.
const collectGarbage = runInNewContext('gc') as () => void

function nanosecondsOf(work: () => void): number {
  const start = process.hrtime.bigint()
  work()
  return Number(process.hrtime.bigint() - start)
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((one, other) => one - other)
  return sorted[Math.floor(sorted.length / 2)] ?? 0
}
