/** The district of docs/indicators.md, counted by hand there: 30 children in three villages. */
import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import { stringify } from 'csv-stringify/sync'
import type { ByAge } from '../../../src/core/coverage/age-band.ts'
import { bandsBefore } from '../../../src/core/coverage/age-band.ts'
import { MILESTONES, coverageFacts } from '../../../src/core/coverage/coverage-fact.ts'
import { COVERAGE_COLUMNS, coverageCells, coverageRows } from '../../../src/core/coverage/coverage-rows.ts'
import { doseSheet } from '../../../src/core/coverage/dose-sheet.ts'
import type { CountedFacts, CoverageCell, Measure } from '../../../src/core/coverage/tally.ts'
import { tally } from '../../../src/core/coverage/tally.ts'
import type { VillageTarget } from '../../../src/core/coverage/target.ts'
import { annualTarget } from '../../../src/core/coverage/target.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { forecast } from '../../../src/core/schedule/forecast.ts'
import { parseSchedule } from '../../../src/core/schedule/parse-schedule.ts'

const fixture = (name: string) =>
  readFileSync(new URL(`../../fixtures/coverage/${name}`, import.meta.url), 'utf8')

const TODAY = mustParseDay('2026-11-25')
const DOSES = ['BCG1', 'PENTA1', 'PENTA2', 'PENTA3', 'MR1'] as const
const VILLAGES = ['Amber Ford', 'High Elms, Upper', 'Tall "Reeds"'] as const

const parsed = parseSchedule(JSON.parse(fixture('schedule.json')))
if (parsed.kind === 'invalid') throw new Error('the fixture schedule contradicts itself')
const { schedule } = parsed
const sheet = doseSheet(schedule)
const register = parse<Record<string, string>>(fixture('register.csv'), { columns: true })

function countedChild(row: Record<string, string>): CountedFacts {
  const birthOn = mustParseDay(row['birth_date'] ?? '')
  const given = ['BCG', 'PENTA1', 'PENTA2', 'PENTA3', 'MR1'].flatMap((column) => {
    const on = row[column] ?? ''
    return on === '' ? [] : [{ vaccine: column.replace(/\d$/, ''), on: mustParseDay(on) }]
  })
  const { given: judged, complete } = forecast(schedule, { birthOn, given }, TODAY)
  const child = { village: row['village'] ?? '', sex: null, birthOn, isInCohort: true }
  const doses = judged.map((dose) => ({ ...dose, delivery: 'routine' as const }))
  return { child, facts: coverageFacts(child, { doses, complete }, sheet) }
}

const cells = [...tally(register.map(countedChild)).values()]

interface Question {
  readonly measure: Measure
  readonly byAge?: ByAge
  readonly birthYear?: number
  readonly month?: string
}

function count(village: string, series: string, dose: number, question: Question): number {
  const bands = bandsBefore(question.byAge ?? 'any')
  return cells
    .filter(({ cell }) => cell.village === village && cell.series === series && cell.dose === dose)
    .filter(({ cell }) => bands.includes(cell.ageBand) && isAskedFor(cell, question))
    .reduce((sum, { sums }) => sum + sums[question.measure], 0)
}

function isAskedFor(cell: CoverageCell, { birthYear, month }: Question): boolean {
  const isOfMonth = month === undefined || cell.monthOn === mustParseDay(`${month}-01`)
  return isOfMonth && (birthYear ?? cell.birthYear) === cell.birthYear
}

/** One line of counts a village, in the order of `DOSES`. */
const table = (question: Question) =>
  VILLAGES.map((village) =>
    DOSES.map((name) => count(village, name.slice(0, -1), Number(name.slice(-1)), question)),
  )

describe('the hand-computed district', () => {
  test('crude: every child with the dose on record', () => {
    expect(table({ measure: 'crude' })).toEqual([
      [11, 10, 10, 10, 8],
      [9, 10, 10, 9, 8],
      [8, 7, 6, 6, 6],
    ])
  })

  test('valid: the doses that count under the schedule', () => {
    expect(table({ measure: 'valid' })).toEqual([
      [11, 10, 10, 8, 8],
      [9, 10, 10, 9, 7],
      [8, 7, 6, 6, 6],
    ])
  })

  test('timely: valid doses given before they were late', () => {
    expect(table({ measure: 'timely' })).toEqual([
      [10, 9, 8, 7, 7],
      [9, 10, 10, 9, 6],
      [8, 6, 6, 6, 6],
    ])
  })

  test('by 12 months: a dose on the first birthday is too late', () => {
    expect(table({ measure: 'crude', byAge: '12m' }).map((line) => line[4])).toEqual([7, 7, 6])
    expect(table({ measure: 'crude', byAge: '24m' })).toEqual(table({ measure: 'crude' }))
  })

  test('the birth cohort of 2025 leaves out the children of 2024 and 2026', () => {
    expect(table({ measure: 'crude', birthYear: 2025 })).toEqual([
      [10, 9, 9, 9, 7],
      [8, 9, 9, 8, 8],
      [8, 7, 6, 6, 6],
    ])
  })

  test('the calendar month of July 2025 counts the doses given in it, whoever had them', () => {
    expect(table({ measure: 'crude', month: '2025-07' })).toEqual([
      [1, 1, 2, 1, 0],
      [0, 1, 1, 1, 0],
      [0, 0, 1, 0, 0],
    ])
  })

  test('fully immunised: every infant dose on record, valid, and by 12 months', () => {
    const full = (question: Question) =>
      VILLAGES.map((village) => count(village, MILESTONES.fullyImmunised, 1, question))
    expect(full({ measure: 'crude' })).toEqual([8, 7, 6])
    expect(full({ measure: 'valid' })).toEqual([7, 6, 6])
    expect(full({ measure: 'valid', byAge: '12m' })).toEqual([6, 5, 6])
    expect(full({ measure: 'timely' })).toEqual([6, 5, 6])
  })

  test('enrolled children, all and born in 2025', () => {
    const enrolled = (question: Question) =>
      VILLAGES.map((village) => count(village, MILESTONES.enrolled, 1, question))
    expect(enrolled({ measure: 'crude' })).toEqual([12, 10, 8])
    expect(enrolled({ measure: 'crude', birthYear: 2025 })).toEqual([11, 9, 8])
  })

  test('the coverage table as a file: RFC 4180, one decimal, 100 % exceeded where it is', () => {
    const populations = { 'Amber Ford': 400, 'High Elms, Upper': 250, 'Tall "Reeds"': 150 }
    const villages = VILLAGES.map((name) => {
      const target: VillageTarget = {
        kind: 'rates',
        population: populations[name],
        birthsPer1000: 40,
        infantDeathsPer1000Births: 50,
      }
      return {
        name,
        denominators: {
          'live-births': annualTarget(target, 'live-births'),
          'surviving-infants': annualTarget(target, 'surviving-infants'),
        },
        count: (series: string, dose: number) => count(name, series, dose, { measure: 'crude' }),
      }
    })
    const rows = coverageRows(villages, sheet.doses, 10).map(coverageCells)
    expect(stringify([COVERAGE_COLUMNS, ...rows])).toBe(fixture('expected-crude.csv'))
  })
})

test('a national age replaces the age from which the schedule calls a dose late', () => {
  const months = { series: ['MCV', 'MR'], dose: 1, months: 12 }
  const lateFrom = (late: (typeof months)[]) =>
    doseSheet(schedule, late).doses.map(
      (dose) => `${dose.series} ${dose.dose}: ${dose.lateFrom?.text ?? 'never'}`,
    )
  expect(lateFrom([])).toContain('MR 1: 9 months + 4 weeks')
  expect(lateFrom([months])).toContain('MR 1: 12 months')
  expect(lateFrom([months])).toContain('MR 2: 15 months + 4 weeks')
})
