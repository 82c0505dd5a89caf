import { addDays, formatDay, weekday } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { matchPhrase } from './phrase-table.ts'
import { said, trouble } from './taken.ts'
import type { Edit, Scope, Taken } from './taken.ts'
import { splitToken, without } from './token.ts'
import type { Token, Tokens } from './token.ts'
import { readDigits, readEightDigits, resolveDate } from './typed-date.ts'
import type { DateHabits, DayReading } from './typed-date.ts'
import type { AgoPattern } from './vocabulary.ts'

/** What a day is asked for. */
export interface DaySlot {
  /** Where a date without a year, or a weekday, lies. */
  readonly direction: 'past' | 'coming'
  /** False where a weekday may be a name, as with births. */
  readonly weekdays?: boolean
  /** False where 5.2 is no date. */
  readonly short?: boolean
  /** False where -2 is no day. */
  readonly signed?: boolean
}

interface FoundDay {
  readonly length: number
  readonly day: DayReading
}

type DayFinder = (tokens: Tokens, at: number, search: Search) => FoundDay | undefined

interface Search extends DateHabits {
  readonly slot: DaySlot
  readonly vocabulary: Scope['vocabulary']
}

/** Today, yesterday; a word that means both a day behind and a day ahead is settled by the direction. */
const relativeDay: DayFinder = (tokens, at, { vocabulary, on, direction }) => {
  const match = matchPhrase(vocabulary.days, tokens, at)
  if (match === undefined) return undefined
  const fits = (away: number): boolean => (direction === 'past' ? away <= 0 : away >= 0)
  const away = match.meanings.find(fits) ?? match.meanings[0] ?? 0
  return { length: match.length, day: away > 0 && direction === 'past' ? 'date-future' : addDays(on, away) }
}

/** -2, +1. */
const signedDay: DayFinder = (tokens, at, { on, direction, slot }) => {
  const text = tokens[at]?.text ?? ''
  if (slot.signed === false || !/^[+-]\d{1,2}$/.test(text)) return undefined
  const day = addDays(on, Number(text))
  return { length: 1, day: day > on && direction === 'past' ? 'date-future' : day }
}

const daysAgo: DayFinder = (tokens, at, { vocabulary, on }) => {
  for (const { before, after } of vocabulary.daysAgo) {
    const length = before.length + 1 + after.length
    const days = tokens[at + before.length]?.text ?? ''
    if (/^\d{1,3}$/.test(days) && isPattern(tokens.slice(at, at + length), { before, after }))
      return { length, day: addDays(on, -Number(days)) }
  }
  return undefined
}

function isPattern(tokens: Tokens, { before, after }: AgoPattern): boolean {
  const keys = tokens.map((token) => token.key)
  return (
    keys.slice(0, before.length).join(' ') === before.join(' ') &&
    keys.slice(before.length + 1).join(' ') === after.join(' ')
  )
}

/** 23/11, 23-11-2026, 2026-11-23. */
const inDigits: DayFinder = (tokens, at, search) => {
  const text = tokens[at]?.text ?? ''
  if (search.slot.short === false && text.split(/[-./]/).length < 3) return undefined
  const day = readDigits(text, search)
  return day === undefined ? undefined : { length: 1, day }
}

/** 23 11 2026. */
const spacedDigits: DayFinder = (tokens, at, search) => {
  const group = neighbours(tokens, at, 3)
  const isSpaced = group.length === 3 && group.some(({ text }) => text.length === 4)
  const day = isSpaced ? readDigits(said(group).replaceAll(' ', '/'), search) : undefined
  return day === undefined ? undefined : { length: 3, day }
}

const withoutSeparators: DayFinder = (tokens, at, search) => {
  const day = readEightDigits(tokens[at]?.text ?? '', search)
  return day === undefined ? undefined : { length: 1, day }
}

const onWeekday: DayFinder = (tokens, at, { vocabulary, slot, on, direction }) => {
  if (slot.weekdays === false) return undefined
  const before = matchPhrase(vocabulary.besideWeekday, tokens, at)
  const name = matchPhrase(vocabulary.weekdays, tokens, at + (before?.length ?? 0))
  const wanted = name?.meanings[0]
  if (name === undefined || wanted === undefined) return undefined
  const after =
    before === undefined ? matchPhrase(vocabulary.besideWeekday, tokens, at + name.length) : undefined
  const beside = (before ?? after)?.meanings[0]
  const ahead = beside === undefined ? direction === 'coming' : beside === 'next'
  const distance = (ahead ? wanted - weekday(on) + 7 : weekday(on) - wanted + 7) % 7
  // "Last Tuesday", said on a Tuesday, is not today.
  const days = distance === 0 && beside !== undefined ? 7 : distance
  const length = (before?.length ?? 0) + name.length + (after?.length ?? 0)
  if (ahead && direction === 'past') return { length, day: 'date-future' }
  return { length, day: addDays(on, ahead ? days : -days) }
}

const ORDINAL = /^(\d{1,2})(?:ST|ND|RD|TH|ER|O|A)?$/

function dayOfMonthAt(tokens: Tokens, at: number): number | undefined {
  const match = ORDINAL.exec(tokens[at]?.key ?? '')
  return match === null ? undefined : Number(match[1])
}

/** "of" in a date: 23 de noviembre de 2026. */
function skipOf(tokens: Tokens, at: number): number {
  return ['OF', 'DE', 'YA'].includes(tokens[at]?.key ?? '') ? at + 1 : at
}

/** 23 Nov, 23rd of November 2026, Nov 23. */
const withMonthName: DayFinder = (tokens, at, search) => {
  if (!/\d/.test(tokens[at]?.key ?? '') && matchPhrase(search.vocabulary.months, tokens, at) === undefined)
    return undefined
  const near = neighbours(tokens, at, 6).flatMap(splitGluedMonth)
  const leading = dayOfMonthAt(near, 0)
  const monthAt = leading === undefined ? 0 : skipOf(near, 1)
  const month = matchPhrase(search.vocabulary.months, near, monthAt)
  const [meaning] = month?.meanings ?? []
  if (month === undefined || meaning === undefined) return undefined
  const afterMonth = monthAt + month.length
  const dayOfMonth = leading ?? dayOfMonthAt(near, afterMonth)
  if (dayOfMonth === undefined) return undefined
  const beforeYear = leading === undefined ? afterMonth + 1 : afterMonth
  const yearAt = skipOf(near, beforeYear)
  const year = /^(?:1[3-9]|2[0-5])?\d\d$/.exec(near[yearAt]?.text ?? '')?.[0]
  const end = year === undefined ? beforeYear : yearAt + 1
  const date = { month: meaning.month, dayOfMonth, ...(year === undefined ? {} : { year: Number(year) }) }
  return { length: lengthIn(near, end), day: resolveDate(date, { ...search, calendar: meaning.calendar }) }
}

/** 23Nov, 23nov2026, MAY27 come apart. */
export function splitGluedMonth(token: Token): Token[] {
  const match = /^(\d{1,2})(\p{L}{3,})(\d{4}|\d{2})?$|^(\p{L}{3,})(\d{1,2})$/u.exec(token.text)
  const parts = match?.slice(1).filter((part) => part !== undefined) ?? []
  return parts.length < 2 ? [token] : splitToken(token, parts)
}

/** How many tokens of the text the first few of the split ones are. */
function lengthIn(split: Tokens, count: number): number {
  return new Set(split.slice(0, count).map((token) => token.index)).size
}

/** Up to so many tokens that stand side by side. */
function neighbours(tokens: Tokens, at: number, most: number): Tokens {
  const first = tokens[at]
  const group = tokens.slice(at, at + most)
  const end = group.findIndex((token, step) => token.index !== (first?.index ?? 0) + step)
  return end === -1 ? group : group.slice(0, end)
}

const FINDERS: readonly DayFinder[] = [
  daysAgo,
  withMonthName,
  relativeDay,
  signedDay,
  inDigits,
  spacedDigits,
  withoutSeparators,
  onWeekday,
]

interface PlacedDay {
  readonly tokens: Tokens
  readonly day: DayReading
}

function findDays(tokens: Tokens, search: Search): PlacedDay[] {
  const found: PlacedDay[] = []
  for (let at = 0; at < tokens.length; ) {
    const here = FINDERS.map((finder) => finder(tokens, at, search)).find((day) => day !== undefined)
    if (here !== undefined) found.push({ tokens: tokens.slice(at, at + here.length), day: here.day })
    at += here?.length ?? 1
  }
  return found
}

/** 11/23/2026 typed where 23/11/2026 is usual: what it would be the other way round. */
function turnedDates(tokens: Tokens, search: Search): Edit[] {
  const day = readDigits(said(tokens), { ...search, isDayFirst: !search.isDayFirst })
  return typeof day === 'number' ? [{ tokens, text: formatDay(day) }] : []
}

/** Takes the day out of a text; two different days are not decided between. */
export function takeDay(tokens: Tokens, slot: DaySlot, scope: Scope): Taken<Day> {
  const { on, isDayFirst, vocabulary } = scope
  const { direction } = slot
  const search = { on, isDayFirst, vocabulary, slot, direction, calendar: vocabulary.calendar }
  const found = findDays(tokens, search)
  const [first] = found
  if (first === undefined) return { kind: 'absent' }
  const wrong = found.find(({ day }) => typeof day === 'string')
  if (wrong !== undefined && typeof wrong.day === 'string')
    return trouble(wrong.day, { tokens: wrong.tokens, alternatives: turnedDates(wrong.tokens, search) })
  const days = [...new Set(found.map(({ day }) => day))].filter((day) => typeof day === 'number')
  const taken = found.flatMap((place) => place.tokens)
  const [day] = days
  if (day === undefined || days.length > 1)
    return trouble('date-unclear', {
      tokens: taken,
      alternatives: days.map((each) => ({ tokens: taken, text: formatDay(each) })),
    })
  return { kind: 'taken', value: day, rest: without(tokens, taken) }
}

/** Whether a number is a date and nothing else in this text. */
export function isDateNumber(token: Token, scope: Scope): boolean {
  return readDigits(token.text, { ...scope, calendar: scope.vocabulary.calendar, direction: 'past' }) !== undefined
}
