import { parsePhoneNumber } from '../phone-number.ts'
import type { Taker } from './form.ts'
import { matchPhrase } from './phrase-table.ts'
import type { PhraseTable } from './phrase-table.ts'
import { trouble } from './taken.ts'
import type { Scope } from './taken.ts'
import { groupsOf, without, wordsOf } from './token.ts'
import type { Token, Tokens } from './token.ts'
import { findVillage } from './village-name.ts'
import type { Mark, Vocabulary } from './vocabulary.ts'

/** The smaller parts of an act: marks, labelled numbers, phone numbers, villages, free words. */

interface FoundPhrase<T> {
  readonly value: T
  readonly tokens: Tokens
}

function findPhrase<T>(tokens: Tokens, table: PhraseTable<T>): FoundPhrase<T> | undefined {
  for (let at = 0; at < tokens.length; at++) {
    const match = matchPhrase(table, tokens, at)
    const [value] = match?.meanings ?? []
    if (match !== undefined && value !== undefined)
      return { value, tokens: tokens.slice(at, at + match.length) }
  }
  return undefined
}

/** Takes the first phrase of a table out of a text. */
export function takePhrase<T>(table: PhraseTable<T>): Taker<T> {
  return (tokens) => {
    const found = findPhrase(tokens, table)
    return found === undefined
      ? { kind: 'absent' }
      : { kind: 'taken', value: found.value, rest: without(tokens, found.tokens) }
  }
}

/** Takes a mark out of a text, as the tokens it was. */
export function takeMark(mark: Mark): Taker<Tokens> {
  return (tokens, { vocabulary }) => {
    const found = findPhrase(tokens, vocabulary.marks[mark])
    return found === undefined
      ? { kind: 'absent' }
      : { kind: 'taken', value: found.tokens, rest: without(tokens, found.tokens) }
  }
}

/** The tokens without any phrase of a table. */
export function dropPhrases(tokens: Tokens, table: PhraseTable<unknown>): Token[] {
  const kept: Token[] = []
  for (let at = 0; at < tokens.length;) {
    const match = matchPhrase(table, tokens, at)
    if (match === undefined) kept.push(...tokens.slice(at, at + 1))
    at += match?.length ?? 1
  }
  return kept
}

/** Tokens without labels, greetings and thanks at either end; inside they belong to a name. */
export function trimLabels(tokens: Tokens, { marks, polite }: Vocabulary): Tokens {
  const meant = dropPhrases(dropPhrases(tokens, marks.labels), polite)
  const [first] = meant
  const last = meant.at(-1)
  return first === undefined || last === undefined
    ? []
    : tokens.slice(tokens.indexOf(first), tokens.indexOf(last) + 1)
}

/** Takes a name: all that is left. */
export const takeName: Taker<string> = (tokens, { text, vocabulary }) => {
  const name = trimLabels(tokens, vocabulary)
  return name.length === 0 ? { kind: 'absent' } : { kind: 'taken', value: wordsOf(text, name), rest: [] }
}

/** Takes what is left in the sender's own words, unless it is only fillers. */
export const takeWords: Taker<string> = (tokens, scope) =>
  unreadWords(tokens, scope).length === 0
    ? { kind: 'absent' }
    : { kind: 'taken', value: wordsOf(scope.text, tokens), rest: [] }

/** The words of a text that no part has taken and that are no fillers. */
export function unreadWords(tokens: Tokens, { vocabulary }: Scope): Tokens {
  return dropPhrases(tokens, vocabulary.fillers)
}

/** A number with its look-alikes repaired; anything else as typed. */
export function plainNumber({ digits, text }: Token): string {
  return digits !== null && !/[-./+]/.test(text) ? digits : text
}

/** V317. */
function gluedLabel({ key }: Token, { meanings }: PhraseTable<true>): string | undefined {
  const [, label, number] = /^(\p{L}+)(\d+)$/u.exec(key) ?? []
  return label !== undefined && meanings.has(label) ? number : undefined
}

/** V 317, vial no. 317: the tokens, of which the last is the number. */
function labelledAt(tokens: Tokens, at: number, label: PhraseTable<true>, { fillers }: Vocabulary): Tokens {
  const length = matchPhrase(label, tokens, at)?.length ?? 0
  const end = at + length + (matchPhrase(fillers, tokens, at + length)?.length ?? 0)
  const isNumber = /\d/.test(tokens[end]?.text ?? '')
  return length > 0 && isNumber ? tokens.slice(at, end + 1) : []
}

/** Takes the number of a labelled thing: `V 317`, `V317`, `vial no. 317`. */
export function takeLabelled(mark: Mark): Taker<string> {
  return (tokens, { vocabulary }) => {
    const label = vocabulary.marks[mark]
    for (const [at, token] of tokens.entries()) {
      const glued = gluedLabel(token, label)
      if (glued !== undefined) return { kind: 'taken', value: glued, rest: without(tokens, [token]) }
      const labelled = labelledAt(tokens, at, label, vocabulary)
      const number = labelled.at(-1)
      if (number !== undefined)
        return { kind: 'taken', value: plainNumber(number), rest: without(tokens, labelled) }
    }
    return { kind: 'absent' }
  }
}

/** Takes a phone number: the longest row of digits that is left. */
export const takePhone: Taker<string> = (tokens, { text, region }) => {
  const runs = groupsOf(tokens.filter(({ digits }) => digits !== null))
  const length = (run: Tokens): number => run.map(({ digits }) => digits ?? '').join('').length
  const run = runs.reduce<Tokens>((best, each) => (length(each) >= length(best) ? each : best), [])
  const [first] = run
  const last = run.at(-1)
  if (first === undefined || last === undefined) return { kind: 'absent' }
  const opening = text[first.start - 1] === '(' ? 1 : 0
  const typed = text.slice(first.start - opening, last.end)
  const phone = parsePhoneNumber(typed, region)
  if (phone.kind === 'impossible') return trouble('phone-impossible', { tokens: run })
  return { kind: 'taken', value: phone.number, rest: without(tokens, run) }
}

/** Takes all that is left as a village, by the district's names where they are known. */
export const takeVillage: Taker<string> = (tokens, { vocabulary, villages, text }) => {
  const name = trimLabels(tokens, vocabulary)
  if (name.length === 0) return { kind: 'absent' }
  const typed = wordsOf(text, name)
  if (villages === undefined) return { kind: 'taken', value: typed, rest: [] }
  const village = findVillage(typed, villages)
  if (village.kind === 'village') return { kind: 'taken', value: village.name, rest: [] }
  const alternatives = village.alike.map((alike) => ({ tokens: name, text: alike }))
  return trouble('village-unknown', { tokens: name, alternatives })
}
