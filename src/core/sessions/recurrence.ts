import rrule from 'rrule'
import type { RRule } from 'rrule'
import type { Day } from '../days/day.ts'
import { readRuleDate } from './rule-date.ts'

/**
 * The value of an RRULE (RFC 5545 §3.3.10): proven here, part by part, because the library takes much that means
 * nothing, then expanded by the library.
 */

interface Part {
  readonly accepts: (value: string) => boolean
  /** The frequencies it goes with; all where left out. */
  readonly goesWith?: readonly string[]
  readonly write: string
}

const matches = (pattern: RegExp) => (value: string) => pattern.test(value)
const listOf = (accepts: (item: string) => boolean) => (value: string) => value.split(',').every(accepts)

/** Whole numbers from 1, or counted from the end from -1, to `limit`. */
const numbersTo = (limit: number) =>
  listOf((item) => /^[+-]?[1-9]\d{0,2}$/.test(item) && Math.abs(Number(item)) <= limit)

const PARTS: Readonly<Record<string, Part>> = {
  FREQ: {
    accepts: matches(/^(DAILY|WEEKLY|MONTHLY|YEARLY)$/),
    write: 'FREQ=DAILY, FREQ=WEEKLY, FREQ=MONTHLY or FREQ=YEARLY',
  },
  INTERVAL: { accepts: matches(/^[1-9]\d{0,2}$/), write: 'INTERVAL= and a number from 1 to 999' },
  COUNT: { accepts: matches(/^[1-9]\d{0,3}$/), write: 'COUNT= and a number from 1 to 9999' },
  UNTIL: {
    accepts: (value) => readRuleDate(value) !== undefined,
    write: 'UNTIL= and a date such as 20261231',
  },
  BYDAY: {
    accepts: listOf(matches(/^([+-]?([1-9]|[1-4]\d|5[0-3]))?(MO|TU|WE|TH|FR|SA|SU)$/)),
    write: 'BYDAY= and weekdays from MO, TU, WE, TH, FR, SA, SU',
  },
  BYMONTHDAY: {
    accepts: numbersTo(31),
    goesWith: ['MONTHLY', 'YEARLY'],
    write: 'BYMONTHDAY= and days of the month from 1 to 31, or -1 for the last',
  },
  BYYEARDAY: { accepts: numbersTo(366), goesWith: ['YEARLY'], write: 'BYYEARDAY= and numbers from 1 to 366' },
  BYWEEKNO: { accepts: numbersTo(53), goesWith: ['YEARLY'], write: 'BYWEEKNO= and numbers from 1 to 53' },
  BYMONTH: {
    accepts: listOf(matches(/^([1-9]|1[0-2])$/)),
    write: 'BYMONTH= and months from 1 to 12',
  },
  BYSETPOS: {
    accepts: numbersTo(366),
    goesWith: ['WEEKLY', 'MONTHLY', 'YEARLY'],
    write: 'BYSETPOS= and numbers from 1 to 366, or -1 for the last',
  },
  WKST: { accepts: matches(/^(MO|TU|WE|TH|FR|SA|SU)$/), write: 'WKST= and a weekday such as MO' },
}

const DAY_PARTS = ['BYDAY', 'BYMONTHDAY', 'BYYEARDAY', 'BYWEEKNO']

/** What is wrong with a recurrence and what to write instead; `null` when it can be expanded. */
export function recurrenceProblem(value: string, hasStart: boolean): string | null {
  const pairs = value.split(';').map((pair): [string, string] => {
    const [name = '', ...given] = pair.split('=')
    return [name, given.join('=')]
  })
  const parts = new Map(pairs)
  if (parts.size < pairs.length) return 'A part stands twice: write each part once.'
  return (
    pairs.map((pair) => partProblem(pair, parts.get('FREQ'))).find((problem) => problem !== null) ??
    combinationProblem(parts) ??
    (hasStart ? null : startProblem(parts))
  )
}

function partProblem([name, given]: [string, string], frequency: string | undefined): string | null {
  const part = PARTS[name]
  if (part === undefined) return `"${name}" is not read here: use ${Object.keys(PARTS).join(', ')}.`
  if (!part.accepts(given)) return `${name}=${given} cannot be read: write ${part.write}.`
  if (frequency === undefined) return 'It does not say how often: add FREQ=WEEKLY or FREQ=MONTHLY.'
  if (part.goesWith?.includes(frequency) === false)
    return `${name} does not go with FREQ=${frequency}: use FREQ=${part.goesWith.join(' or FREQ=')}.`
  return null
}

/** What is wrong with parts that are right one by one. */
function combinationProblem(parts: ReadonlyMap<string, string>): string | null {
  const frequency = parts.get('FREQ')
  const isNumbered = /\d/.test(parts.get('BYDAY') ?? '')
  if (isNumbered && (frequency === 'DAILY' || frequency === 'WEEKLY'))
    return (
      'A numbered weekday such as 2TU needs FREQ=MONTHLY; for every second week ' +
      'write FREQ=WEEKLY;INTERVAL=2;BYDAY=TU.'
    )
  if (parts.has('COUNT') && parts.has('UNTIL')) return 'COUNT and UNTIL exclude each other: keep one of them.'
  if (parts.has('BYSETPOS') && !DAY_PARTS.some((name) => parts.has(name)))
    return 'BYSETPOS picks among other days: add BYDAY.'
  return null
}

/** What a recurrence without a first day lacks. */
function startProblem(parts: ReadonlyMap<string, string>): string | null {
  if (parts.has('COUNT')) return 'COUNT counts from a first day: add a line DTSTART;VALUE=DATE: and that day.'
  return parts.get('FREQ') === 'DAILY' || DAY_PARTS.some((name) => parts.has(name))
    ? null
    : 'It names no day: add BYDAY=TU, or a line DTSTART;VALUE=DATE: and the first day.'
}

/**
 * Makes a proven recurrence ready for expansion, at midnight UTC: given a zone, the library's answer depends on the
 * zone of the process.
 */
export function buildRecurrence(value: string, startsOn: Day): RRule {
  const dated = value.replace(/(UNTIL=\d{8})T\d{6}Z?/, '$1')
  return new rrule.RRule({ ...rrule.RRule.parseString(dated), dtstart: midnight(startsOn) }, true)
}

/** The days of a recurrence from one day to another, both included, in order. */
export function recurrenceDays(recurrence: RRule, from: Day, to: Day): Day[] {
  return recurrence.between(midnight(from), midnight(to), true).map(dayOfMidnight)
}

/**
 * True for a recurrence that no day ever fits, such as every 30 February. The library looks until the year 9999: asked
 * 7200 years on, when all weekdays are the same again, it is soon done.
 */
export function isBarren({ origOptions }: RRule): boolean {
  const moved = (at: Date | null | undefined): Date | null =>
    at == null ? null : new Date(at.getTime() + 18 * GREGORIAN_CYCLE_DAYS * MS_PER_DAY)
  const options = { ...origOptions, dtstart: moved(origOptions.dtstart), until: moved(origOptions.until) }
  return new rrule.RRule(options, true).all((_, index) => index < 1).length === 0
}

/** 400 years. */
const GREGORIAN_CYCLE_DAYS = 146_097
const MS_PER_DAY = 86_400_000
const midnight = (day: Day): Date => new Date(day * MS_PER_DAY)
// A midnight in UTC is a whole number of days.
const dayOfMidnight = (at: Date): Day => (at.getTime() / MS_PER_DAY) as Day
