import { readFileSync } from 'node:fs'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { forecast } from '../../../src/core/schedule/forecast.ts'
import { forecastJson } from '../../../src/core/schedule/forecast-json.ts'
import type { ForecastJson } from '../../../src/core/schedule/forecast-json.ts'
import { scheduleFromFile } from '../../support/schedules.ts'

interface PublishedCase {
  readonly id: string
  readonly schedule?: string
  readonly series: string
  readonly label?: string
  readonly note?: string
  readonly birthDate: string
  readonly asOf: string
  readonly sex?: 'female' | 'male'
  readonly given: readonly { readonly vaccine: string; readonly date: string }[]
}

interface CdcCase extends PublishedCase {
  readonly expect: {
    readonly given: readonly { readonly valid: boolean; readonly reason: string | null }[]
    readonly next: Pick<
      ForecastJson['next'][number],
      'series' | 'dose' | 'earliest' | 'due' | 'overdue'
    > | null
  }
}

interface WhoCase extends PublishedCase {
  readonly expect: {
    readonly complete: boolean
    readonly next: readonly { series: string; status: string; dose: number; earliest: string }[]
  }
}

function casesIn<Case>(file: string): Case[] {
  // The shape of our own vector files.
  return (JSON.parse(readFileSync(`tests/vectors/${file}`, 'utf8')) as { cases: Case[] }).cases
}

function forecastOf(one: PublishedCase): ForecastJson {
  const schedule = scheduleFromFile(one.schedule ?? 'tests/fixtures/schedules/cdc-2013.json')
  const given = one.given.map(({ vaccine, date }) => ({ vaccine, on: mustParseDay(date) }))
  const child = {
    birthOn: mustParseDay(one.birthDate),
    ...(one.sex === undefined ? {} : { sex: one.sex }),
    given,
  }
  return forecastJson(forecast(schedule, child, mustParseDay(one.asOf)))
}

// CDC, Clinical Decision Support for Immunization: healthy-childhood test cases, version 1.x (rows of 2013-01-01).
describe.each(['cdc-2013.json', 'cdc-2013-table.json'])('the published CDC cases of %s', (file) => {
  test.each(casesIn<CdcCase>(file).map((one) => [one.id, one.label, one] as const))(
    '%s: %s',
    (_id, _label, one) => {
      const { given, next } = forecastOf(one)
      const verdicts = given.map(
        ({ counts }) => counts.find(({ series }) => series === one.series) ?? counts[0],
      )
      expect(verdicts.map((verdict) => ({ valid: verdict?.valid, reason: verdict?.reason }))).toEqual(
        one.expect.given,
      )

      const row = next.find(({ series }) => series === one.series)
      if (one.expect.next === null) expect(row).toBeUndefined()
      else expect(row).toMatchObject(one.expect.next)
    },
  )
})

// WHO, computable immunization guideline, implementation guide 0.2.0 (draft, November 2025).
describe('the published WHO cases of who-guideline.json', () => {
  test.each(casesIn<WhoCase>('who-guideline.json').map((one) => [one.id, one.note ?? '', one] as const))(
    '%s %s',
    (_id, _note, one) => {
      const { next, complete } = forecastOf(one)
      const watched = one.series === 'polio' ? ['OPV', 'IPV'] : [one.series]
      const rows = next
        .filter(({ series }) => watched.includes(series))
        .map(({ series, status, dose, earliest }) => ({
          series,
          // The published tables know no overdue: an overdue dose is due.
          status: status === 'overdue' ? 'due' : status,
          dose,
          earliest,
        }))
      const bySeries = (a: { series: string }, b: { series: string }): number =>
        a.series.localeCompare(b.series)
      expect(rows.sort(bySeries)).toEqual([...one.expect.next].sort(bySeries))
      expect(watched.every((series) => complete.includes(series))).toBe(one.expect.complete)
    },
  )
})
