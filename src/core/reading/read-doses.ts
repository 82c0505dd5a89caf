import { addDays, formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { ProblemCode } from './act.ts'
import { dateInCalendar } from './calendar-date.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { nearMeanings } from './phrase-table.ts'
import { splitGluedNumbers, takeCard, takeCards } from './take-card.ts'
import { takeDay } from './take-day.ts'
import { takeLabelled, takeMark, takePhrase, unreadWords } from './take-parts.ts'
import { takeVaccines } from './take-vaccines.ts'
import { trouble } from './taken.ts'
import type { ActReader, Scope, Trouble } from './taken.ts'
import type { Token, Tokens } from './token.ts'

/** What the child of one card was given or not given: the readers of GAVE, NOTGIVEN and DOUBLE. */

const takeDoseDay: Taker<Day> = (tokens, scope) => takeDay(tokens, { direction: 'past' }, scope)

/** The days that a lone day of the month may be: of this month and the one before. */
function likelyDays(dayOfMonth: number, { on, vocabulary }: Scope): Day[] {
  return Array.from({ length: 62 }, (_, back) => (on - back) as Day).filter(
    (day) => dateInCalendar(day, vocabulary.calendar).dayOfMonth === dayOfMonth,
  )
}

/** What a word that no part has taken may have been meant for, as texts to put in its place. */
function meantBy(
  token: Token,
  scope: Scope,
): { readonly code: ProblemCode; readonly texts: readonly string[] } {
  const [, dayOfMonth] = /^(\d{1,2})(?:ST|ND|RD|TH)?$/.exec(token.key) ?? []
  const likely = dayOfMonth === undefined ? [] : likelyDays(Number(dayOfMonth), scope)
  if (likely.length > 0) return { code: 'date-unclear', texts: likely.map(formatDay) }
  // A number too large for a dose or a day may be a vial without its V.
  if (token.digits !== null) return { code: 'vaccine-unknown', texts: [`V ${token.text}`] }
  const days = nearMeanings(scope.vocabulary.days, token.key).filter((away) => away <= 0)
  return { code: 'vaccine-unknown', texts: days.map((away) => formatDay(addDays(scope.on, away))) }
}

/** Nothing that was typed may be passed over in a report of doses. */
function unread(tokens: Tokens, scope: Scope): Trouble | undefined {
  const isKeyword = ({ key }: Token): boolean =>
    scope.vocabulary.acts.meanings.get(key)?.includes('record-doses') === true
  const token = unreadWords(tokens, scope).find((each) => !isKeyword(each))
  if (token === undefined) return undefined
  const { code, texts } = meantBy(token, scope)
  return trouble(code, { tokens: [token], alternatives: texts.map((text) => ({ tokens: [token], text })) })
}

const NONE = { vaccines: [], typed: [] }

/** ALL beside the names of vaccines: either may be meant. */
function allOrNamed(all: Tokens, named: Tokens): Trouble {
  const alternatives = [
    { tokens: all, text: '' },
    { tokens: named, text: '' },
  ]
  return trouble('vaccine-unclear', { tokens: all, alternatives })
}

const VOLUME = /(?<![\p{L}\p{N}])\d*[.,]?\d+ ?ml\b/giu

/** Tokens without volumes: 0.1 ml of a fractional dose says nothing that the vaccine does not. */
function withoutVolumes(tokens: Tokens, text: string): Tokens {
  const volumes = [...text.matchAll(VOLUME)]
  return tokens.filter(
    ({ start }) => !volumes.some(({ index, 0: volume }) => start >= index && start < index + volume.length),
  )
}

/** `GAVE card vaccine… [day] [V vial]`, `GAVE card ALL`. */
export const readDoses: ActReader = (tokens, scope) => {
  const form = openForm(splitGluedNumbers(withoutVolumes(tokens, scope.text)), scope)
  const vial = form.optional(takeLabelled('vial')) ?? null
  const card = form.needed('card-missing', takeCard)
  const day = form.optional(takeDoseDay)
  const all = form.optional(takeMark('all'))
  const named = form.optional(takeVaccines)
  form.check(unread)
  if (all !== undefined && named !== undefined) form.check(() => allOrNamed(all, named.tokens))
  if (all === undefined && named === undefined) form.check(() => trouble('vaccine-missing'))
  const { vaccines, typed } = named ?? NONE
  const date = day ?? scope.on
  const rest = { vaccines, typed, all: all !== undefined, date, vial }
  return form.finish({ card }, (parts) => ({ act: 'record-doses', ...parts, ...rest }), {
    vaccines: named?.vaccines,
    date: day,
    vial,
  })
}

/** `NOTGIVEN card vaccine… reason [day]`. */
export const readNotGiven: ActReader = (tokens, scope) => {
  const form = openForm(splitGluedNumbers(tokens), scope)
  const card = form.needed('card-missing', takeCard)
  const day = form.optional(takeDoseDay)
  const reason = form.optional(takePhrase(scope.vocabulary.reasons))
  const vaccines = form.needed('vaccine-missing', takeVaccines)?.vaccines
  if (reason === undefined) form.check(noReason)
  form.check(unread)
  const date = day ?? scope.on
  return form.finish({ card, vaccines, reason }, (parts) => ({ act: 'record-not-given', ...parts, date }), {
    date: day,
  })
}

function noReason(left: Tokens, scope: Scope): Trouble {
  return trouble('reason-missing', { tokens: unreadWords(left, scope).slice(0, 1) })
}

/** `DOUBLE card card`, `DOUBLE card vaccine…`. */
export const readDouble: ActReader = (tokens, scope) => {
  const form = openForm(splitGluedNumbers(tokens), scope)
  const [card, other = null, third] = form.needed('card-missing', takeCards) ?? []
  const { vaccines } = form.optional(takeVaccines) ?? NONE
  if (third !== undefined) form.check(() => trouble('card-unclear'))
  form.check(unread)
  return form.finish({ card }, (parts) => ({ act: 'flag-double', ...parts, other, vaccines }))
}
