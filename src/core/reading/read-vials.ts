import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { takeExpiry } from './take-expiry.ts'
import { dropPhrases, plainNumber, takeLabelled, takeWords, unreadWords } from './take-parts.ts'
import { takeVaccines } from './take-vaccines.ts'
import type { NamedVaccines } from './take-vaccines.ts'
import { trouble } from './taken.ts'
import type { ActReader, Scope, Trouble } from './taken.ts'
import { without, wordsOf } from './token.ts'
import type { Token, Tokens } from './token.ts'

/** Opening and discarding vials. */

/** Tokens with neither white space nor a comma between them: AB, 12, 34 of AB-12/34. */
export function joinedGroups(tokens: Tokens, text: string): Token[][] {
  const groups: Token[][] = []
  for (const token of tokens) {
    const group = groups.at(-1)
    const isJoined = group !== undefined && !/[\s,;،]/.test(text.slice(group.at(-1)?.end, token.start))
    if (isJoined) group.push(token)
    else groups.push([token])
  }
  return groups
}

/** Takes a lot number: the words with a digit in them, or else the first word that is left. */
const takeLot: Taker<string> = (tokens, { text, vocabulary }) => {
  const { labels, vial } = vocabulary.marks
  const words = dropPhrases(dropPhrases(dropPhrases(tokens, labels), vial), vocabulary.fillers)
  const groups = joinedGroups(words, text)
  const numbered = groups.filter((group) => group.some((token) => /\d/.test(token.text))).flat()
  const lot = numbered.length > 0 ? numbered : (groups[0] ?? [])
  if (lot.length === 0) return { kind: 'absent' }
  return { kind: 'taken', value: wordsOf(text, lot).toLocaleUpperCase('en'), rest: without(tokens, lot) }
}

/** No vaccine, or one by a name that is not known. */
function noVaccine(left: Tokens, scope: Scope): Trouble {
  const [word] = unreadWords(left, scope)
  return word === undefined ? trouble('vaccine-missing') : trouble('vaccine-unknown', { tokens: [word] })
}

/** More than one vaccine in a vial. */
function twoVaccines({ vaccines, tokens }: NamedVaccines): Trouble {
  const alternatives = vaccines.map((code) => ({ tokens, text: code }))
  return trouble('vaccine-unclear', { tokens, alternatives })
}

/** `OPENED vaccine lot expiry`. */
export const readOpenedVial: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const named = form.optional(takeVaccines)
  const expiry = form.optional(takeExpiry)
  const lot = form.optional(takeLot)
  const [vaccine, other] = named?.vaccines ?? []
  if (named === undefined) form.check(noVaccine)
  else if (other !== undefined) form.check(() => twoVaccines(named))
  if (lot === undefined) form.check(() => trouble('lot-missing'))
  if (expiry === undefined) form.check(() => trouble('expiry-missing'))
  return form.finish({ vaccine, lot, expiry }, (parts) => ({ act: 'open-vial', ...parts }), {
    vaccines: named?.vaccines,
  })
}

const takeVialNumber: Taker<string> = (tokens) => {
  const number = tokens.find(({ text }) => /\d/.test(text))
  return number === undefined
    ? { kind: 'absent' }
    : { kind: 'taken', value: plainNumber(number), rest: without(tokens, [number]) }
}

/** `DISCARD vial [why]`. */
export const readDiscardedVial: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const vial = form.optional(takeLabelled('vial')) ?? form.needed('vial-missing', takeVialNumber)
  const why = form.optional(takeWords) ?? null
  return form.finish({ vial }, (parts) => ({ act: 'discard-vial', ...parts, why }))
}
