import { formatDay, mustParseDay } from '../../src/core/days/day.ts'
import { forecast } from '../../src/core/schedule/forecast.ts'
import { forecastJson } from '../../src/core/schedule/forecast-json.ts'
import type { ForecastJson } from '../../src/core/schedule/forecast-json.ts'
import type { ChildFacts } from '../../src/core/schedule/forecast-types.ts'
import { parseSchedule } from '../../src/core/schedule/parse-schedule.ts'
import type { Schedule } from '../../src/core/schedule/schedule.ts'

type Data = Readonly<Record<string, unknown>>

const vaccine = (code: string, kind = 'inactivated', route = 'intramuscular'): Data => ({
  code,
  name: code.toLowerCase(),
  kind,
  route,
})

/** The data of a small schedule; what is given replaces or adds to it. */
export function scheduleDataWith(parts: Data): Data {
  return {
    id: 'small',
    version: '1',
    title: 'A small schedule',
    notice: 'For tests.',
    effectiveFrom: '2020-01-01',
    sources: [{ title: 'none', issuer: 'none', edition: 'none' }],
    vaccines: [
      vaccine('A'),
      vaccine('B'),
      vaccine('LIVE', 'live', 'subcutaneous'),
      vaccine('OTHERLIVE', 'live', 'subcutaneous'),
      vaccine('DROPS', 'live', 'oral'),
    ],
    series: [{ id: 'A', name: 'a', vaccines: ['A'], doses: [{}] }],
    ...parts,
  }
}

/** A small schedule that is right; a wrong one is a fault of the test. */
export function scheduleWith(parts: Data): Schedule {
  const parsed = parseSchedule(scheduleDataWith(parts))
  if (parsed.kind === 'invalid') throw new Error(JSON.stringify(parsed.problems))
  return parsed.schedule
}

/** One series of vaccine A and its doses. */
export function seriesOfA(doses: readonly Data[], parts: Data = {}): Data {
  return { id: 'A', name: 'a', vaccines: ['A'], doses, ...parts }
}

export interface Story {
  readonly born: string
  readonly asOf: string
  /** `A 2024-01-01`. */
  readonly given?: readonly string[]
  readonly facts?: Omit<ChildFacts, 'birthOn' | 'given'>
}

/** The facts of a story, in the engine's terms. */
export function childOf({ born, given = [], facts = {} }: Story): ChildFacts {
  const doses = given.map((text) => {
    const [code = '', on = ''] = text.split(' ')
    return { vaccine: code, on: mustParseDay(on) }
  })
  return { ...facts, birthOn: mustParseDay(born), given: doses }
}

/** The forecast of a story with days in words. */
export function forecastFor(schedule: Schedule, story: Story): ForecastJson {
  return forecastJson(forecast(schedule, childOf(story), mustParseDay(story.asOf)))
}

/** Each dose's verdicts in short: `A 1`, `A 2 too-soon`, `A not-counted`. */
export function verdictsFor(schedule: Schedule, story: Story): string[][] {
  return forecastFor(schedule, story).given.map(({ counts }) =>
    counts.map(({ series, dose, reason }) =>
      [series, dose, reason].filter((part) => part !== null).join(' '),
    ),
  )
}

/** The next dose of a series in short: `A 2 from 2024-02-01, due 2024-03-01`. */
export function nextFor(schedule: Schedule, story: Story, series: string): string | undefined {
  const next = forecastFor(schedule, story).next.find((row) => row.series === series)
  return next && `${series} ${next.dose} from ${next.earliest}, due ${next.due}`
}

/** A day some days later, as text. */
export function daysAfter(day: string, days: number): string {
  return formatDay((mustParseDay(day) + days) as ReturnType<typeof mustParseDay>)
}
