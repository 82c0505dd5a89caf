/**
 * Every threshold of WHO's decision and schedule tables (computable immunization guideline, implementation guide 0.2.0,
 * draft, November 2025), asked on the day before, on the day and on the day after. The days are reckoned by luxon.
 */
import { readFileSync } from 'node:fs'
import { DateTime } from 'luxon'
import type { ForecastJson } from '../../../src/core/schedule/forecast-json.ts'
import { forecastFor } from '../../support/a-schedule.ts'
import type { Story } from '../../support/a-schedule.ts'
import { scheduleFromFile } from '../../support/schedules.ts'

const UNITS: Readonly<Record<string, string>> = { d: 'days', w: 'weeks', m: 'months', y: 'years' }

/** A day some time later: `6w`, `9m`; `-1d` goes back. */
function plus(day: string, step: string): string {
  const length = { [UNITS[step.slice(-1)] ?? '']: parseInt(step, 10) }
  return DateTime.fromISO(day, { zone: 'utc' }).plus(length).toFormat('yyyy-MM-dd')
}

const FACTS: Readonly<Record<string, NonNullable<Story['facts']>>> = {
  female: { sex: 'female' },
  preterm: { flags: ['preterm'] },
  '1999 g': { birthWeightGrams: 1999 },
}

/** table | what | given, by age | next dose | it opens | the age at which it is over | facts of the child */
const ROWS = readFileSync('tests/fixtures/who-thresholds.txt', 'utf8')
  .trim()
  .split('\n')
  .map((line) => {
    const cells = line.split('|').map((cell) => cell.trim())
    const cell = (place: number): string => cells[place] ?? ''
    const given = cell(2) === '-' ? [] : cell(2).split(', ')
    const [series = '', dose] = cell(3).split(' ')
    const opens = /^(?:birth|dose (?<place>\d)) \+ (?<step>\w+)$/.exec(cell(4))?.groups
    // `NaN` for the birth.
    const opening = { since: Number(opens?.['place']) - 1, step: opens?.['step'] ?? '' }
    return {
      table: cell(0),
      about: cell(1),
      given,
      series,
      dose: Number(dose),
      opening,
      closes: cell(5),
      fact: cell(6),
    }
  })

/** The middle of a month, the end of February, ends of longer months and of a year. */
const BIRTHS = ['2024-03-15', '2023-02-28', '2024-01-31', '2023-08-31', '2022-12-31']

const CASES = ROWS.flatMap((row) =>
  BIRTHS.map((born) => [`${row.table}, ${row.about}`, born, { ...row, born }] as const),
)
type Case = (typeof CASES)[number][2]

/** The next dose of the series as of a day. */
function nextOn({ table, born, given, series, fact }: Case, asOf: string): ForecastJson['next'][number] {
  const story = {
    born,
    asOf,
    given: given.map((text) => text.replace(/\S+$/, (age) => plus(born, age))),
    facts: FACTS[fact] ?? {},
  }
  const schedule = scheduleFromFile(`tests/fixtures/schedules/who-ig/${table}.json`)
  const row = forecastFor(schedule, story).next.find((one) => one.series === series)
  if (row === undefined) throw new Error(`no next dose of ${series}`)
  return row
}

describe('the thresholds of WHO’s tables, on the day before, the day and the day after', () => {
  test.each(CASES)('%s, born %s', (_title, _born, one) => {
    const { born, dose, opening, closes } = one
    const days = one.given.map((text) => plus(born, text.split(' ')[1] ?? ''))
    const earliest = plus(days[opening.since] ?? born, opening.step)
    const eve = plus(earliest, '-1d')
    if ([born, ...days].every((day) => day <= eve))
      expect(nextOn(one, eve)).toMatchObject({ dose, earliest, status: 'not-yet' })
    for (const day of [earliest, plus(earliest, '1d')]) {
      expect(nextOn(one, day)).toMatchObject({ dose, earliest })
      expect(nextOn(one, day).status).toMatch(/due/)
    }

    if (closes === '') return
    const over = plus(born, closes)
    const latest = plus(over, '-1d')
    expect(nextOn(one, latest).latest).toBe(latest)
    expect(nextOn(one, latest).status).toMatch(/due/)
    expect(nextOn(one, over)).toMatchObject({ latest, status: 'closed' })
  })
})
