import type { MonthName } from './calendar-date.ts'
import { matchPhrase } from './phrase-table.ts'
import type { PhraseTable } from './phrase-table.ts'
import { neighboursOf, splitToken } from './token.ts'
import type { Token, Tokens } from './token.ts'
import type { TypedDate } from './typed-date.ts'

/** Dates with the name of a month: 23 Nov, 23rd of November 2026, Nov 23, 23nov26, May 2027. */

/** A date found at the head of some tokens; the name says which calendar it is of. */
export interface NamedDate extends Partial<TypedDate> {
  readonly calendar: string
  readonly month: number
  /** Tokens of the text, not of their parts. */
  readonly length: number
}

/** A part of a date and where the next one begins. */
interface Part<T> {
  readonly value: T
  readonly end: number
}

/** "of" in a date: 23 de noviembre de 2026. */
const OF_WORDS: ReadonlySet<string> = new Set(['OF', 'DE', 'YA'])

/** Most tokens of a date: 23 de noviembre de 2026, and two for the name of a month in two words. */
const LONGEST = 6

function dayPart(tokens: Tokens, at: number): Part<number> | undefined {
  const [, digits] = /^(\d{1,2})(?:ST|ND|RD|TH|ER|O|A)?$/.exec(tokens[at]?.key ?? '') ?? []
  return digits === undefined ? undefined : { value: Number(digits), end: at + 1 }
}

function monthPart(tokens: Tokens, at: number, months: PhraseTable<MonthName>): Part<MonthName> | undefined {
  const match = matchPhrase(months, tokens, at)
  const [value] = match?.meanings ?? []
  return match === undefined || value === undefined ? undefined : { value, end: at + match.length }
}

function yearPart(tokens: Tokens, at: number): Part<number> | undefined {
  const text = tokens[at]?.text ?? ''
  return /^(?:1[3-9]|2[0-5])?\d\d$/.test(text) ? { value: Number(text), end: at + 1 } : undefined
}

function skipOf(tokens: Tokens, at: number): number {
  return OF_WORDS.has(tokens[at]?.key ?? '') ? at + 1 : at
}

/** 23nov2026, MAY27 come apart. */
function splitGluedMonth(token: Token): Token[] {
  const match = /^(\d{1,2})(\p{L}{3,})(\d{4}|\d{2})?$|^(\p{L}{3,})(\d{1,2})$/u.exec(token.text)
  const parts = match?.slice(1).filter(Boolean) ?? []
  return parts.length < 2 ? [token] : splitToken(token, parts)
}

/** A month with the day before or behind it; without a day where there is none. */
function dayAndMonth(
  parts: Tokens,
  months: PhraseTable<MonthName>,
): { readonly day: number | undefined; readonly month: MonthName; readonly end: number } | undefined {
  const leading = dayPart(parts, 0)
  const month = monthPart(parts, leading === undefined ? 0 : skipOf(parts, leading.end), months)
  if (month === undefined) return undefined
  const day = leading ?? dayPart(parts, month.end)
  return { day: day?.value, month: month.value, end: Math.max(month.end, day?.end ?? 0) }
}

/** The date with a month's name that begins at a token: day and year may be missing. */
export function namedDateAt(
  tokens: Tokens,
  at: number,
  months: PhraseTable<MonthName>,
): NamedDate | undefined {
  const key = tokens[at]?.key ?? ''
  if (!/\d/.test(key) && !months.longest.has(key)) return undefined
  const parts = neighboursOf(tokens, at, LONGEST).flatMap(splitGluedMonth)
  const found = dayAndMonth(parts, months)
  if (found === undefined) return undefined
  const year = yearPart(parts, skipOf(parts, found.end))
  const used = parts.slice(0, year?.end ?? found.end)
  return {
    ...found.month,
    ...(found.day === undefined ? {} : { dayOfMonth: found.day }),
    ...(year === undefined ? {} : { year: year.value }),
    length: new Set(used.map((token) => token.index)).size,
  }
}
