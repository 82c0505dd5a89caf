import { addDays, addMonths, dayOf } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Taker } from './form.ts'
import { matchPhrase } from './phrase-table.ts'
import { splitGluedMonth } from './take-day.ts'
import { said, trouble } from './taken.ts'
import type { Scope } from './taken.ts'
import { without } from './token.ts'
import type { Tokens } from './token.ts'
import { readDigits } from './typed-date.ts'
import type { Vocabulary } from './vocabulary.ts'

/** Expiry dates, as vials and cartons print them: Gregorian, a month or a day. */

/** Further from today than this, a date was mistyped. */
const FARTHEST_DAYS = 3653

interface FoundExpiry {
  readonly tokens: Tokens
  /** `undefined` where the date does not exist. */
  readonly day: Day | undefined
}

/** The last day of a Gregorian month. */
function endOfMonth(year: number, month: number): Day | undefined {
  const first = dayOf(year < 100 ? 2000 + year : year, month, 1)
  return first === undefined ? undefined : addDays(addMonths(first, 1), -1)
}

/** 05/2027, 05-27, 2027/05, 31/05/2027. */
function inDigits(text: string, { on, isDayFirst }: Scope): Day | undefined | 'no-date' {
  const [, month, year] = /^(\d{1,2})[-./ ](\d{4}|\d{2})$/.exec(text) ?? []
  if (month !== undefined) return endOfMonth(Number(year), Number(month))
  const [, first, second] = /^(\d{4})[-./](\d{1,2})$/.exec(text) ?? []
  if (first !== undefined) return endOfMonth(Number(first), Number(second))
  const day = readDigits(text, { on, isDayFirst, calendar: 'gregory', direction: 'coming' })
  if (day === undefined) return 'no-date'
  return typeof day === 'number' ? day : undefined
}

/** May 2027, MAY27, 31 May 2027. */
function withMonthName(tokens: Tokens, at: number, { months }: Vocabulary): FoundExpiry | undefined {
  const match = matchPhrase(months, tokens, at)
  const month = match?.meanings.find(({ calendar }) => calendar === 'gregory')?.month
  const yearToken = tokens[at + (match?.length ?? 0)]
  const year = /^(?:20)?\d\d$/.test(yearToken?.text ?? '') ? Number(yearToken?.text) : undefined
  if (match === undefined || month === undefined || year === undefined) return undefined
  const dayToken = tokens[at - 1]
  const hasDay = /^\d{1,2}$/.test(dayToken?.text ?? '')
  const day = hasDay ? dayOf(year < 100 ? 2000 + year : year, month, Number(dayToken?.text)) : endOfMonth(year, month)
  return { tokens: tokens.slice(hasDay ? at - 1 : at, at + match.length + 1), day }
}

function expiryAt(tokens: Tokens, at: number, scope: Scope): FoundExpiry | undefined {
  const [token, next] = tokens.slice(at, at + 2)
  if (token === undefined) return undefined
  const single = inDigits(token.text, scope)
  if (single !== 'no-date') return { tokens: [token], day: single }
  const isPair = next?.index === token.index + 1 && /^\d{4}$/.test(next.text)
  const pair = isPair ? inDigits(said([token, next]), scope) : 'no-date'
  if (isPair && pair !== 'no-date') return { tokens: [token, next], day: pair }
  return withMonthName(tokens, at, scope.vocabulary)
}

/** Takes an expiry date, of which a vial has the last one typed: a lot number may look like another. */
export const takeExpiry: Taker<Day> = (given, scope) => {
  const tokens = given.flatMap(splitGluedMonth)
  const found = tokens.map((_, at) => expiryAt(tokens, at, scope)).findLast((expiry) => expiry !== undefined)
  if (found === undefined) return { kind: 'absent' }
  const { day } = found
  if (day === undefined || Math.abs(day - scope.on) > FARTHEST_DAYS)
    return trouble('expiry-impossible', { tokens: found.tokens })
  return { kind: 'taken', value: day, rest: without(tokens, found.tokens) }
}
