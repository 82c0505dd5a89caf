import { addDays, formatDay, weekday } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { namedDateAt } from './month-name-date.ts'
import { matchPhrase } from './phrase-table.ts'
import { said, trouble } from './taken.ts'
import type { Edit, Scope, Taken } from './taken.ts'
import { neighboursOf, without } from './token.ts'
import type { Token, Tokens } from './token.ts'
import { readDigits, readEightDigits, resolveDate } from './typed-date.ts'
import type { DateHabits, DayReading } from './typed-date.ts'
import type { AgoPattern, Vocabulary } from './vocabulary.ts'

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
  readonly vocabulary: Vocabulary
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
  const group = neighboursOf(tokens, at, 3)
  const isSpaced = group.length === 3 && group.some(({ text }) => text.length === 4)
  const day = isSpaced ? readDigits(said(group).replaceAll(' ', '/'), search) : undefined
  return day === undefined ? undefined : { length: 3, day }
}

const withoutSeparators: DayFinder = (tokens, at, search) => {
  const day = readEightDigits(tokens[at]?.text ?? '', search)
  return day === undefined ? undefined : { length: 1, day }
}

interface FoundWeekday {
  /** 1 = Monday. */
  readonly weekday: number
  /** "Last" or "next" beside it. */
  readonly beside: 'last' | 'next' | undefined
  readonly length: number
}

/** Monday, last Monday, vendredi prochain. */
function weekdayAt(tokens: Tokens, at: number, vocabulary: Vocabulary): FoundWeekday | undefined {
  const { weekdays, besideWeekday } = vocabulary
  const before = matchPhrase(besideWeekday, tokens, at)
  const start = at + (before?.length ?? 0)
  const name = matchPhrase(weekdays, tokens, start)
  const [found] = name?.meanings ?? []
  if (name === undefined || found === undefined) return undefined
  const beside = before ?? matchPhrase(besideWeekday, tokens, start + name.length)
  const length = name.length + (beside?.length ?? 0)
  return { weekday: found, beside: beside?.meanings[0], length }
}

/** The latest such day, or the next for lists; today counts, unless "last" or "next" was said. */
const onWeekday: DayFinder = (tokens, at, { vocabulary, slot, on, direction }) => {
  const found = slot.weekdays === false ? undefined : weekdayAt(tokens, at, vocabulary)
  if (found === undefined) return undefined
  const { beside, length } = found
  const isAhead = beside === undefined ? direction === 'coming' : beside === 'next'
  if (isAhead && direction === 'past') return { length, day: 'date-future' }
  const ahead = (found.weekday - weekday(on) + 7) % 7
  const away = isAhead ? ahead : (7 - ahead) % 7
  const days = away === 0 && beside !== undefined ? 7 : away
  return { length, day: addDays(on, isAhead ? days : -days) }
}

/** 23 Nov, 23rd of November 2026, Nov 23. */
const withMonthName: DayFinder = (tokens, at, search) => {
  const named = namedDateAt(tokens, at, search.vocabulary.months)
  if (named?.dayOfMonth === undefined) return undefined
  const { month, dayOfMonth, year, calendar, length } = named
  const date = year === undefined ? { month, dayOfMonth } : { year, month, dayOfMonth }
  return { length, day: resolveDate(date, { ...search, calendar }) }
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
  for (let at = 0; at < tokens.length;) {
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
  return (
    readDigits(token.text, { ...scope, calendar: scope.vocabulary.calendar, direction: 'past' }) !== undefined
  )
}
