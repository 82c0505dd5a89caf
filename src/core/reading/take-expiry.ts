import { addDays, addMonths, civilDate, dayOf } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Taker } from './form.ts'
import { namedDateAt } from './month-name-date.ts'
import { said, trouble } from './taken.ts'
import type { Scope } from './taken.ts'
import { without } from './token.ts'
import type { Tokens } from './token.ts'
import { fullYear, readDigits } from './typed-date.ts'

/** Expiry dates, as vials and cartons print them: Gregorian, a month or a day. */

/** Further from today than this, a date was mistyped. */
const FARTHEST_DAYS = 3653

interface FoundExpiry {
  readonly tokens: Tokens
  /** `undefined` where the date does not exist. */
  readonly day: Day | undefined
}

/** What a printed date is read by. */
type ExpiryHabits = Pick<Scope, 'on' | 'isDayFirst'>

/** The last day of a Gregorian month. */
function endOfMonth(typedYear: number, month: number, on: Day): Day | undefined {
  const first = dayOf(fullYear(typedYear, civilDate(on).year), month, 1)
  return first === undefined ? undefined : addDays(addMonths(first, 1), -1)
}

/** 05/2027, 05-27, 2027/05, 31/05/2027. */
function inDigits(text: string, { on, isDayFirst }: ExpiryHabits): Day | undefined | 'no-date' {
  const [, month, year] = /^(\d{1,2})[-./ ](\d{4}|\d{2})$/.exec(text) ?? []
  if (month !== undefined) return endOfMonth(Number(year), Number(month), on)
  const [, first, second] = /^(\d{4})[-./](\d{1,2})$/.exec(text) ?? []
  if (first !== undefined) return endOfMonth(Number(first), Number(second), on)
  const day = readDigits(text, { on, isDayFirst, calendar: 'gregory', direction: 'coming' })
  if (day === undefined) return 'no-date'
  return typeof day === 'number' ? day : undefined
}

/** May 2027, MAY27, 31 May 2027. */
function withMonthName(tokens: Tokens, at: number, { on, vocabulary }: Scope): FoundExpiry | undefined {
  const named = namedDateAt(tokens, at, vocabulary.months)
  // In May 27 the number is the year: an expiry has one.
  const year = named?.year ?? named?.dayOfMonth
  if (named === undefined || year === undefined || named.calendar !== 'gregory') return undefined
  const day =
    named.year === undefined || named.dayOfMonth === undefined
      ? endOfMonth(year, named.month, on)
      : dayOf(fullYear(year, civilDate(on).year), named.month, named.dayOfMonth)
  return { tokens: tokens.slice(at, at + named.length), day }
}

function expiryAt(tokens: Tokens, at: number, scope: Scope): FoundExpiry | undefined {
  const [token, next] = tokens.slice(at, at + 2)
  if (token === undefined) return undefined
  const single = inDigits(token.text, scope)
  if (single !== 'no-date') return { tokens: [token], day: single }
  const isPair = next?.index === token.index + 1 && /^\d{4}$/.test(next.text)
  const pair = isPair ? inDigits(said([token, next]), scope) : 'no-date'
  if (isPair && pair !== 'no-date') return { tokens: [token, next], day: pair }
  return withMonthName(tokens, at, scope)
}

/** Every expiry date in a text, none within another. */
function findExpiries(tokens: Tokens, scope: Scope): FoundExpiry[] {
  const found: FoundExpiry[] = []
  for (let at = 0; at < tokens.length;) {
    const expiry = expiryAt(tokens, at, scope)
    if (expiry !== undefined) found.push(expiry)
    at += expiry?.tokens.length ?? 1
  }
  return found
}

function isFar(day: Day, on: Day): boolean {
  return Math.abs(day - on) > FARTHEST_DAYS
}

/** An expiry typed on a number pad: 0527, 052027, 31052027, or with separators. `undefined` where it is no date. */
export function readTypedExpiry(typed: string, habits: ExpiryHabits): Day | 'expiry-impossible' | undefined {
  const digits = typed.replace(/[\s*]+/g, '/')
  const plain = /^(\d\d)(\d\d|\d{4})$/.exec(digits) ?? /^(\d\d)(\d\d)(\d{4})$/.exec(digits)
  const day = inDigits(plain === null ? digits : plain.slice(1).join('/'), habits)
  if (day === 'no-date') return undefined
  return day === undefined || isFar(day, habits.on) ? 'expiry-impossible' : day
}

/** Takes an expiry date, of which a vial has the last one typed: a lot number may look like another. */
export const takeExpiry: Taker<Day> = (tokens, scope) => {
  const found = findExpiries(tokens, scope).at(-1)
  if (found === undefined) return { kind: 'absent' }
  const { day } = found
  if (day === undefined || isFar(day, scope.on)) return trouble('expiry-impossible', { tokens: found.tokens })
  return { kind: 'taken', value: day, rest: without(tokens, found.tokens) }
}
