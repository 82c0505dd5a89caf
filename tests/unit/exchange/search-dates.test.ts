import { formatDay } from '../../../src/core/days/day.ts'
import { rangeOfDays, rangeOfInstants } from '../../../src/core/exchange/search-dates.ts'

function days(...values: string[]): (string | null)[] | string {
  const range = rangeOfDays(values)
  if ('kind' in range) return range.kind
  return [range.from, range.before].map((day) => (day === null ? null : formatDay(day)))
}

function instants(...values: string[]): (string | null)[] | string {
  const range = rangeOfInstants(values)
  if ('kind' in range) return range.kind
  return [range.from, range.before].map((at) => at?.toISOString() ?? null)
}

// HL7 FHIR R4 §3.1.1.4.6: a date stands for all the time its precision covers.
test.each([
  [['2026-01-31'], ['2026-01-31', '2026-02-01']],
  [['eq2026-02'], ['2026-02-01', '2026-03-01']],
  [['2024'], ['2024-01-01', '2025-01-01']],
  [['ge2026-01'], ['2026-01-01', null]],
  [['gt2026-01'], ['2026-02-01', null]],
  [['sa2026-01-31'], ['2026-02-01', null]],
  [['lt2026-01'], [null, '2026-01-01']],
  [['le2026-01'], [null, '2026-02-01']],
  [['eb2026-01-31'], [null, '2026-01-31']],
  [
    ['ge2026-01-10', 'lt2026-02', 'ge2025'],
    ['2026-01-10', '2026-02-01'],
  ],
  [[], [null, null]],
])('the days %j are from and before %j', (values, range) => {
  expect(days(...values)).toEqual(range)
})

test.each([
  ['gt2026-03-04T10:00:00.250+03:00', ['2026-03-04T07:00:00.251Z', null]],
  ['ge2026-03-04T10:00:00Z', ['2026-03-04T10:00:00.000Z', null]],
  ['le2026-03-04T10:00:00Z', [null, '2026-03-04T10:00:01.000Z']],
  ['2026-03-04T10:00Z', ['2026-03-04T10:00:00.000Z', '2026-03-04T10:01:00.000Z']],
  ['2026-03-04', ['2026-03-04T00:00:00.000Z', '2026-03-05T00:00:00.000Z']],
  // The plus sign of an address that was not encoded.
  ['ge2026-03-04T10:00:00 03:00', ['2026-03-04T07:00:00.000Z', null]],
])('the instant %s is from and before %j', (value, range) => {
  expect(instants(value)).toEqual(range)
})

test.each(['yesterday', 'ne2026', '2026-13', '2026-02-30', 'ap2026', ''])('%j is no date', (value) => {
  expect(days(value)).toBe('bad-date')
  expect(instants(value)).toBe('bad-date')
})
