import type { Day } from '../days/day.ts'
import type { StockCount } from './act.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { matchPhrase } from './phrase-table.ts'
import { takeDay } from './take-day.ts'
import { takeLabelled } from './take-parts.ts'
import { vaccineNameAt } from './take-vaccines.ts'
import { trouble } from './taken.ts'
import type { ActReader, Trouble } from './taken.ts'
import { splitToken, without } from './token.ts'
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

/** A vaccine and the number behind it: in PCV 10 the number is the count. Vials, unless the text says doses. */
function countAt(tokens: Tokens, at: number, vocabulary: Vocabulary): FoundCount | Trouble {
  const { doses, vials } = vocabulary.marks
  const numberAt = tokens.findIndex((token, place) => place > at && token.digits !== null)
  const name = vaccineNameAt(numberAt === -1 ? tokens : tokens.slice(0, numberAt), at, vocabulary)
  if (name.kind === 'trouble') return name
  const end = at + name.length
  const number = tokens[end]?.text ?? ''
  if (!/^\d{1,6}$/.test(number)) return trouble('count-missing', { tokens: tokens.slice(at, end) })
  const inDoses = matchPhrase(doses, tokens, end + 1)
  const unit = inDoses ?? matchPhrase(vials, tokens, end + 1)
  return {
    kind: 'count',
    count: { vaccine: name.vaccine, count: Number(number), unit: inDoses === undefined ? 'vials' : 'doses' },
    length: name.length + 1 + (unit?.length ?? 0),
  }
}

const takeCounts: Taker<readonly StockCount[]> = (given, { vocabulary }) => {
  const tokens = given.flatMap((token) => splitCount(token, vocabulary))
  const counts: StockCount[] = []
  for (let at = 0; at < tokens.length;) {
    const found = countAt(tokens, at, vocabulary)
    const filler = found.kind === 'trouble' ? matchPhrase(vocabulary.fillers, tokens, at) : undefined
    if (found.kind === 'trouble' && filler === undefined) return found
    if (found.kind === 'count') counts.push(found.count)
    at += found.kind === 'count' ? found.length : (filler?.length ?? 1)
  }
  return counts.length === 0 ? { kind: 'absent' } : { kind: 'taken', value: counts, rest: [] }
}

/** `STOCK vaccine count [vials/doses]…`. */
export const readStock: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const counts = form.needed('vaccine-missing', takeCounts)
  return form.finish({ counts }, (parts) => ({ act: 'record-stock', ...parts }))
}
