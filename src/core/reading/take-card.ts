import { CARD_DIGITS, checkCardNumber } from '../card-number.ts'
import { trouble } from './taken.ts'
import type { Scope, Taken, Trouble } from './taken.ts'
import { isDateNumber, takeDay } from './take-day.ts'
import { groupsOf, splitToken, without } from './token.ts'
import type { Token, Tokens } from './token.ts'

/** Fewest digits that were meant as a card number; shorter numbers are doses, days and vials. */
const FEWEST_DIGITS = 3

/** Neighbouring numbers whose digits could be one card number. */
interface Window {
  readonly tokens: Tokens
  readonly digits: string
}

/** The digits of a number, or of a lone O, I or l that may stand for one. */
function digitsOf({ digits, text }: Token): string | null {
  if (digits !== null || !/^[OoIl|]$/.test(text)) return digits
  return /^o$/i.test(text) ? '0' : '1'
}

function allDigits(tokens: Tokens): string {
  return tokens.map((token) => digitsOf(token) ?? '').join('')
}

/** Numbers side by side, dates left out. */
function numberRuns(tokens: Tokens, scope: Scope): Token[][] {
  const numbers = tokens.filter((token) => digitsOf(token) !== null && !isDateNumber(token, scope))
  return groupsOf(numbers).filter((run) => run.some(({ digits }) => digits !== null))
}

function windowsOf(run: Tokens): Window[] {
  return run.flatMap((_, from) =>
    run.slice(from).map((_token, length) => {
      const tokens = run.slice(from, from + length + 1)
      return { tokens, digits: allDigits(tokens) }
    }),
  )
}

const isCard = ({ digits }: Window): boolean => checkCardNumber(digits).kind === 'card'

/** The card numbers that a row of numbers is made of, where nothing is left over: 4821 7739 3095 1466. */
function wholeCards(run: Tokens): Window[] {
  const cards: Window[] = []
  let from = 0
  for (let end = 1; end <= run.length; end++) {
    const tokens = run.slice(from, end)
    const card = { tokens, digits: allDigits(tokens) }
    if (card.digits.length < CARD_DIGITS) continue
    if (!isCard(card)) return []
    cards.push(card)
    from = end
  }
  return from === run.length ? cards : []
}

/** Every card number in a row of numbers. */
function cardsIn(run: Tokens): Window[] {
  const whole = wholeCards(run)
  return whole.length > 0 ? whole : windowsOf(run).filter(isCard)
}

/** 48217739OPV comes apart into a number and a word. */
export function splitGluedNumbers(tokens: Tokens): Token[] {
  return tokens.flatMap((token) => {
    const [, number, word] = /^(\d{4,8})(\p{L}{2,}.*)$/u.exec(token.text) ?? []
    return number === undefined || word === undefined ? [token] : splitToken(token, [number, word])
  })
}

/** 4B217739: letters that look like digits, close enough to suggest a number and too far to take it. */
function suggestedCard(tokens: Tokens): { readonly token: Token; readonly number: string } | undefined {
  for (const token of tokens) {
    const number = token.key.replace(/S/g, '5').replace(/B/g, '8').replace(/Z/g, '2').replace(/O/g, '0')
    const isClose = token.digits === null && (token.key.match(/\d/g)?.length ?? 0) >= 5
    if (isClose && checkCardNumber(number).kind === 'card') return { token, number }
  }
  return undefined
}

/** Why there is no card number among the numbers. */
function noCard(tokens: Tokens, runs: readonly Tokens[]): Trouble {
  const suggested = suggestedCard(tokens)
  if (suggested !== undefined) {
    const { token, number } = suggested
    return trouble('card-check-digit', { tokens: [token], alternatives: [{ tokens: [token], text: number }] })
  }
  const eight = runs.flatMap(windowsOf).find(({ digits }) => digits.length === CARD_DIGITS)
  if (eight !== undefined) return trouble('card-check-digit', { tokens: eight.tokens })
  const run = runs.find((each) => allDigits(each).length >= FEWEST_DIGITS)
  return run === undefined ? trouble('card-missing') : trouble('card-length', { tokens: run })
}

/** Eight digits that are neither a card number nor a date. */
function isWrongCard(run: Tokens, scope: Scope): boolean {
  return allDigits(run).length === CARD_DIGITS && takeDay(run, { direction: 'past' }, scope).kind === 'absent'
}

/** Every card number of a text, in the order written; a number of eight digits that fails is not passed over. */
export function takeCards(tokens: Tokens, scope: Scope): Taken<readonly string[]> {
  const runs = numberRuns(tokens, scope)
  const cards = runs.flatMap(cardsIn)
  if (cards.length === 0) return noCard(tokens, runs)
  const taken = new Set(cards.flatMap((card) => card.tokens))
  const others = groupsOf(runs.flat().filter((token) => !taken.has(token)))
  const wrong = others.find((run) => isWrongCard(run, scope))
  if (wrong !== undefined) return trouble('card-check-digit', { tokens: wrong })
  const numbers = [...new Set(cards.map(({ digits }) => digits))]
  return { kind: 'taken', value: numbers, rest: without(tokens, taken) }
}

/** The one card number of a text; of two none is picked. */
export function takeCard(tokens: Tokens, scope: Scope): Taken<string> {
  const cards = takeCards(tokens, scope)
  if (cards.kind !== 'taken') return cards
  const [number, other] = cards.value
  if (number !== undefined && other === undefined) return { kind: 'taken', value: number, rest: cards.rest }
  const taken = without(tokens, cards.rest)
  return trouble('card-unclear', {
    tokens: taken,
    alternatives: cards.value.map((each) => ({ tokens: taken, text: each })),
  })
}
