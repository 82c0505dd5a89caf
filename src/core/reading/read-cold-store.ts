import type { Day } from '../days/day.ts'
import type { StockCount } from './act.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { matchPhrase } from './phrase-table.ts'
import { joinedGroups } from './read-vials.ts'
import { takeDay } from './take-day.ts'
import { takeLabelled, takeMark } from './take-parts.ts'
import { vaccineNameAt } from './take-vaccines.ts'
import { trouble } from './taken.ts'
import type { ActReader, Scope, Trouble } from './taken.ts'
import { splitToken, without, wordsOf } from './token.ts'
import type { Token, Tokens } from './token.ts'
import type { Vocabulary } from './vocabulary.ts'

/** Temperatures and stock counts. */

/** No refrigerator, freezer or heap of ice shows less or more, in degrees Celsius. */
const [COLDEST, HOTTEST] = [-90, 60]

/** A temperature as it is written, with a point; `undefined` for one that no refrigerator shows. */
export function readCelsius(written: string): number | undefined {
  const celsius = Number(written)
  const isSound = /^[+-]?\d+(?:\.\d+)?$/.test(written) && celsius >= COLDEST && celsius <= HOTTEST
  return isSound ? celsius : undefined
}

interface TypedCelsius {
  readonly celsius: number
  readonly tokens: Tokens
}

/** Takes a temperature with its sign and decimals; the comma in 5,2 had parted the number. */
const takeCelsius: Taker<TypedCelsius> = (tokens, { text }) => {
  const [first, next] = tokens.filter(({ digits }) => digits !== null)
  if (first === undefined) return { kind: 'absent' }
  const hasComma = next !== undefined && text.slice(first.end, next.start) === ','
  const sign = /(?:^|\s)-\s$/.test(text.slice(0, first.start)) ? '-' : ''
  const taken = hasComma ? [first, next] : [first]
  const typed = sign + text.slice(first.start, taken.at(-1)?.end).replace(',', '.')
  const celsius = readCelsius(typed)
  if (celsius === undefined) return trouble('temperature-impossible', { tokens: taken })
  return { kind: 'taken', value: { celsius, tokens: taken }, rest: without(tokens, taken) }
}

/** A second number leaves open which is the temperature. */
function secondNumber(first: Tokens, left: Tokens): Trouble | undefined {
  const second = left.filter(({ digits }) => digits !== null)
  if (second.length === 0) return undefined
  const alternatives = [second, first].map((tokens) => ({ tokens, text: '' }))
  return trouble('temperature-impossible', { tokens: [...first, ...second], alternatives })
}

const takeReadingDay: Taker<Day> = (tokens, scope) =>
  takeDay(tokens, { direction: 'past', short: false, signed: false }, scope)

/** `TEMP degrees [fridge number] [day]`. */
export const readTemperature: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const fridge = form.optional(takeLabelled('fridge')) ?? null
  const date = form.optional(takeReadingDay) ?? scope.on
  const reading = form.needed('temperature-missing', takeCelsius)
  if (reading !== undefined) form.check((left) => secondNumber(reading.tokens, left))
  const celsius = reading?.celsius
  return form.finish({ celsius }, (parts) => ({ act: 'record-temperature', ...parts, fridge, date }))
}

/** BOPV12 comes apart into a vaccine and a count; PCV13 is a name. */
function splitCount(token: Token, { vaccines }: Vocabulary): Token[] {
  const [, name, count] = /^(\p{L}+)(\d+)$/u.exec(token.text) ?? []
  const isName = matchPhrase(vaccines, [token], 0) !== undefined
  return isName || name === undefined || count === undefined ? [token] : splitToken(token, [name, count])
}

interface FoundCount {
  readonly kind: 'count'
  readonly count: StockCount
  readonly length: number
}

const KINDS: Readonly<Record<string, StockCount['kind']>> = { '+': 'received', '-': 'discarded-closed' }

/** The sign of a number, also where a space stands behind it: + for what came, - for what was thrown away. */
function signOf({ text: number, start }: Token, text: string): string {
  return /^[+-]/.exec(number)?.[0] ?? /(?:^|\s)([+-])\s$/.exec(text.slice(0, start))?.[1] ?? ''
}

interface FoundNumber {
  readonly count: number
  readonly kind: StockCount['kind']
}

/** A whole number of at most six digits, with its sign. */
function numberIn(token: Token | undefined, text: string): FoundNumber | undefined {
  if (token === undefined || !/^[+-]?\d{1,6}$/.test(token.text)) return undefined
  return { count: Math.abs(Number(token.text)), kind: KINDS[signOf(token, text)] }
}

/** A vaccine and the number behind it: in PCV 10 the number is the count. Vials, unless the text says doses. */
function countAt(tokens: Tokens, at: number, scope: Scope): FoundCount | Trouble {
  const { text, vocabulary } = scope
  const { doses, vials } = vocabulary.marks
  const numberAt = tokens.findIndex((token, place) => place > at && token.digits !== null)
  const name = vaccineNameAt(numberAt === -1 ? tokens : tokens.slice(0, numberAt), at, vocabulary)
  if (name.kind === 'trouble') return name
  const end = at + name.length
  const number = numberIn(tokens[end], text)
  if (number === undefined) return trouble('count-missing', { tokens: tokens.slice(at, end) })
  const { count, kind } = number
  const inDoses = matchPhrase(doses, tokens, end + 1)
  const unit = inDoses ?? matchPhrase(vials, tokens, end + 1)
  const lotAt = end + 1 + (unit?.length ?? 0)
  const lot = lotIn(tokens, lotAt, scope)
  return {
    kind: 'count',
    count: {
      vaccine: name.vaccine,
      count,
      unit: inDoses === undefined ? 'vials' : 'doses',
      ...(kind === undefined ? {} : { kind }),
      ...(lot === undefined ? {} : { lot: lot.lot }),
    },
    length: lotAt - at + (lot?.length ?? 0),
  }
}

/** The word behind "lot", whole again where it had come apart like a vaccine and its count. */
function lotIn(tokens: Tokens, at: number, { text, vocabulary }: Scope) {
  const label = matchPhrase(vocabulary.marks.lot, tokens, at)
  if (label === undefined) return undefined
  const [word = []] = joinedGroups(tokens.slice(at + label.length), text)
  if (word.length === 0) return undefined
  const lot = text.slice(word[0]?.start, word.at(-1)?.end).toLocaleUpperCase('en')
  return { lot, length: label.length + word.length }
}

interface TakenStock {
  readonly counts: readonly StockCount[]
  readonly why: string | null
}

const takeStock: Taker<TakenStock> = (given, scope) => {
  const { text, vocabulary } = scope
  const tokens = given.flatMap((token) => splitCount(token, vocabulary))
  const counts: StockCount[] = []
  for (let at = 0; at < tokens.length;) {
    const found = countAt(tokens, at, scope)
    const filler = found.kind === 'trouble' ? matchPhrase(vocabulary.fillers, tokens, at) : undefined
    if (found.kind === 'trouble' && filler === undefined) {
      const rest = tokens.slice(at)
      return isReason(counts, rest) ? stock(counts, wordsOf(text, rest)) : found
    }
    if (found.kind === 'count') counts.push(found.count)
    at += found.kind === 'count' ? found.length : (filler?.length ?? 1)
  }
  return counts.length === 0 ? { kind: 'absent' } : stock(counts, null)
}

/** Words at the end say why vials were thrown away; a number among them would be a count that was lost. */
function isReason(counts: readonly StockCount[], rest: Tokens): boolean {
  return counts.at(-1)?.kind === 'discarded-closed' && rest.every(({ digits }) => digits === null)
}

function stock(counts: readonly StockCount[], why: string | null) {
  return { kind: 'taken', value: { counts, why }, rest: [] } as const
}

/** Vials with a sign came in or were thrown away; they cannot have been carried out or back as well. */
function signedAndMoved(move: Tokens): Trouble {
  return trouble('keyword-unclear', { tokens: move, alternatives: [{ tokens: move, text: '' }] })
}

/**
 * `STOCK [carried/back] vaccine count [vials/doses] [lot number]…`; +count came in, -count was thrown away closed, with the reason
 * at the end.
 */
export const readStock: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const out = form.optional(takeMark('takenOut'))
  const back = out === undefined ? form.optional(takeMark('broughtBack')) : undefined
  const taken = form.needed('vaccine-missing', takeStock)
  const move = out ?? back
  const isSigned = taken?.counts.some(({ kind }) => kind !== undefined) === true
  if (move !== undefined && isSigned) form.check(() => signedAndMoved(move))
  const why = taken?.why ?? null
  return form.finish({ counts: taken?.counts }, (parts) => ({
    act: 'record-stock',
    ...parts,
    ...(why === null ? {} : { why }),
    ...(move === undefined ? {} : { moved: out === undefined ? 'brought-back' : 'taken-out' }),
  }))
}
