import type { RRule } from 'rrule'
import { mustParseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { buildRecurrence, isBarren, recurrenceProblem } from './recurrence.ts'
import { readRuleDate } from './rule-date.ts'

/** What one rule text says. */
export interface SessionRule {
  readonly recurrences: readonly RRule[]
  readonly addedDays: readonly Day[]
  readonly removedDays: readonly Day[]
}

export type ParsedSessionRule =
  | { readonly kind: 'rule'; readonly rule: SessionRule }
  /** `detail` says what is wrong and what to write. */
  | { readonly kind: 'invalid'; readonly detail: string }

/** Where a rule without `DTSTART` starts to count its intervals: a Monday. */
const DEFAULT_START = mustParseDay('2024-01-01')

interface Line {
  readonly name: string
  readonly value: string
}

/**
 * Reads the lines `RRULE` (its name may be left out), `DTSTART`, `RDATE` and `EXDATE` of RFC 5545.
 * @example parseSessionRule('DTSTART;VALUE=DATE:20260106\nRRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TU').kind // 'rule'
 */
export function parseSessionRule(text: string): ParsedSessionRule {
  const lines = splitLines(text)
  const detail = linesProblem(lines)
  if (detail !== null) return { kind: 'invalid', detail }

  const [startsOn = DEFAULT_START] = datesOf(lines, 'DTSTART')
  const recurrences = valuesOf(lines, 'RRULE').map((value) => buildRecurrence(value, startsOn))
  if (recurrences.some(isBarren))
    return { kind: 'invalid', detail: 'No day fits it: take out the part that leaves none.' }
  return {
    kind: 'rule',
    rule: { recurrences, addedDays: datesOf(lines, 'RDATE'), removedDays: datesOf(lines, 'EXDATE') },
  }
}

/** Content lines, unfolded (RFC 5545 §3.1), in capitals; parameters such as `VALUE=DATE` and `TZID` fall away. */
function splitLines(text: string): Line[] {
  return text
    .replace(/\r?\n[ \t]/g, '')
    .split(/\r?\n/)
    .map((line) => line.trim().toUpperCase())
    .filter((line) => line !== '')
    .map((line) => {
      const match = /^([A-Z-]+)(?:;[^:]*)?:(.*)$/.exec(line)
      return { name: match?.[1] ?? 'RRULE', value: match?.[2] ?? line }
    })
}

const valuesOf = (lines: readonly Line[], name: string): string[] =>
  lines.filter((line) => line.name === name).map((line) => line.value)

const datesOf = (lines: readonly Line[], name: string): Day[] =>
  valuesOf(lines, name)
    .flatMap((value) => value.split(','))
    .map(readRuleDate)
    .filter((day) => day !== undefined)

function linesProblem(lines: readonly Line[]): string | null {
  const starts = valuesOf(lines, 'DTSTART').length
  if (lines.length === 0) return 'It is empty: write a rule such as FREQ=WEEKLY;BYDAY=TU.'
  if (starts > 1) return 'DTSTART stands twice: write one first day.'
  return lines.map((line) => lineProblem(line, starts === 1)).find((problem) => problem !== null) ?? null
}

function lineProblem({ name, value }: Line, hasStart: boolean): string | null {
  switch (name) {
    case 'RRULE':
      return recurrenceProblem(value, hasStart)
    case 'DTSTART':
    case 'RDATE':
    case 'EXDATE': {
      const wrong = value.split(',').find((item) => readRuleDate(item) === undefined)
      return wrong === undefined ? null : `"${wrong}" is no date: write ${name};VALUE=DATE:20260106.`
    }
    default:
      return `${name} is not read here: write RRULE, DTSTART, RDATE or EXDATE lines.`
  }
}
