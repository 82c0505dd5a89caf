import type { TypedDose } from './act.ts'
import { isTypingSlip, matchPhrase, nearMeanings } from './phrase-table.ts'
import { trouble } from './taken.ts'
import type { Scope, Taken, Trouble } from './taken.ts'
import { splitToken, tokenOf, without } from './token.ts'
import type { Token, Tokens } from './token.ts'
import type { Vocabulary } from './vocabulary.ts'

/** The vaccines of a report. */
export interface NamedVaccines {
  /** Each once, in the order written. */
  readonly vaccines: readonly string[]
  readonly typed: readonly TypedDose[]
  /** Their names and dose numbers as typed. */
  readonly tokens: Tokens
}

interface FoundVaccine {
  readonly name: Tokens
  /** The name and the dose number. */
  readonly tokens: Tokens
  /** One code, or several where the name is shared. */
  readonly codes: readonly string[]
  readonly dose: number | null
}

/** 0PV for OPV, F1PV for FIPV. */
function withLetters(token: Token): Token {
  const text = token.text.replace(/0/g, 'O').replace(/1/g, 'I')
  return text === token.text ? token : tokenOf(text, token)
}

const DOSE_WORDS = new Map([
  ['O', 0],
  ['I', 1],
  ['II', 2],
  ['III', 3],
  ['IV', 4],
])

/** A dose number right behind a vaccine's name: 1, 2nd, II, O for 0, l for 1. */
function doseNumber(token: Token | undefined): number | undefined {
  if (token === undefined) return undefined
  const [, digit] = /^([0-6])(?:ST|ND|RD|TH)?$/.exec(token.key) ?? []
  if (digit !== undefined) return Number(digit)
  return token.text === 'l' ? 1 : DOSE_WORDS.get(token.key)
}

interface VaccineName {
  /** One code, or several where the name is shared. */
  readonly codes: readonly string[]
  readonly length: number
}

/** The vaccine whose name begins at a token; a shared name means the one that the district's schedule has. */
function nameAt(tokens: Tokens, at: number, { vaccines, inSchedule }: Vocabulary): VaccineName | undefined {
  const token = tokens[at]
  const repaired =
    token === undefined || !/[01]/.test(token.text) ? tokens : tokens.with(at, withLetters(token))
  const match = matchPhrase(vaccines, tokens, at) ?? matchPhrase(vaccines, repaired, at)
  if (match === undefined) return undefined
  const scheduled = match.meanings.filter((code) => inSchedule.has(code))
  return { codes: scheduled.length > 0 ? scheduled : match.meanings, length: match.length }
}

/** The one vaccine whose name begins at a token. */
export function vaccineNameAt(
  tokens: Tokens,
  at: number,
  vocabulary: Vocabulary,
): { readonly kind: 'name'; readonly vaccine: string; readonly length: number } | Trouble {
  const name = nameAt(tokens, at, vocabulary)
  const [vaccine, other] = name?.codes ?? []
  if (name === undefined || vaccine === undefined)
    return trouble('vaccine-unknown', { tokens: tokens.slice(at, at + 1) })
  if (other === undefined) return { kind: 'name', vaccine, length: name.length }
  return unclear(tokens.slice(at, at + name.length), name.codes)
}

function unclear(name: Tokens, codes: readonly string[]): Trouble {
  const alternatives = codes.map((code) => ({ tokens: name, text: code }))
  return trouble(codes.length > 1 ? 'vaccine-unclear' : 'vaccine-unknown', { tokens: name, alternatives })
}

/** The dose that stands right behind a name: 1, dose 1, birth dose. */
function doseBehind(
  tokens: Tokens,
  at: number,
  { marks }: Vocabulary,
): { readonly dose: number; readonly length: number } | undefined {
  const isNeighbour = (place: number): boolean => tokens[place]?.index === (tokens[place - 1]?.index ?? 0) + 1
  if (!isNeighbour(at)) return undefined
  const birth = matchPhrase(marks.birthDose, tokens, at)
  if (birth !== undefined) return { dose: 0, length: birth.length }
  const label = matchPhrase(marks.doses, tokens, at)?.length ?? 0
  const dose = isNeighbour(at + label) ? doseNumber(tokens[at + label]) : undefined
  return dose === undefined ? undefined : { dose, length: label + 1 }
}

/** The vaccine named at a token, with the dose behind it. */
function namedAt(tokens: Tokens, at: number, vocabulary: Vocabulary): FoundVaccine | undefined {
  const name = nameAt(tokens, at, vocabulary)
  if (name === undefined) return undefined
  const end = at + name.length
  const behind = doseBehind(tokens, end, vocabulary)
  return {
    name: tokens.slice(at, end),
    tokens: tokens.slice(at, end + (behind?.length ?? 0)),
    codes: name.codes,
    dose: behind?.dose ?? null,
  }
}

/** OPV1, PENTAl: name and dose number in one word. */
function gluedAt(token: Token, vocabulary: Vocabulary): FoundVaccine | undefined {
  const [, name, mark] = /^([\p{L}0][\p{L}\p{M}0]+?)([0-6OolI])$/u.exec(token.text) ?? []
  if (name === undefined || mark === undefined) return undefined
  const named = namedAt([tokenOf(name, token)], 0, vocabulary)
  const dose = Number(mark.replace(/o/i, '0').replace(/[lI]/, '1'))
  return named && { ...named, name: [token], tokens: [token], dose }
}

/** OPV1PENTA1 comes apart where every part is a vaccine with its number. */
function splitGlued(token: Token, vocabulary: Vocabulary): Token[] {
  const texts: readonly string[] = token.text.match(/\p{L}+[0-6]/gu) ?? []
  if (texts.length < 2 || texts.join('') !== token.text) return [token]
  const parts = splitToken(token, texts)
  return parts.every((part) => gluedAt(part, vocabulary) !== undefined) ? parts : [token]
}

/** A word that may be a misspelt vaccine: its codes, and whether no other word is likely. */
function nearVaccine(token: Token, { vaccines }: Vocabulary): { codes: string[]; isSure: boolean } {
  const { key } = token
  if (/\d/.test(key) || key.length < 3) return { codes: [], isSure: false }
  const sure = key.length > 3 ? nearMeanings(vaccines, key, isTypingSlip) : []
  const codes = nearMeanings(vaccines, key)
  return { codes, isSure: codes.length === 1 && sure.length === 1 }
}

interface Search {
  readonly found: readonly FoundVaccine[]
  /** Words that are neither a vaccine nor a filler, but look like one. */
  readonly near: readonly FoundVaccine[]
}

function search(tokens: Tokens, { vocabulary }: Scope): Search {
  const found: FoundVaccine[] = []
  const near: FoundVaccine[] = []
  for (let at = 0; at < tokens.length;) {
    const token = tokens[at]
    if (token === undefined) break
    const named = namedAt(tokens, at, vocabulary) ?? gluedAt(token, vocabulary)
    const filler = matchPhrase(vocabulary.fillers, tokens, at)
    if (named !== undefined) found.push(named)
    else if (filler === undefined) {
      const { codes, isSure } = nearVaccine(token, vocabulary)
      const place = { name: [token], tokens: [token], codes, dose: null }
      if (isSure) found.push(place)
      else if (codes.length > 0) near.push(place)
    }
    at += named?.tokens.length ?? filler?.length ?? 1
  }
  return { found, near }
}

/** Takes the vaccines out of a text; a name that several share is not decided between. */
export function takeVaccines(given: Tokens, scope: Scope): Taken<NamedVaccines> {
  const tokens = given.flatMap((token) => splitGlued(token, scope.vocabulary))
  const { found, near } = search(tokens, scope)
  const unsure = [...found, ...near].find(({ codes }) => codes.length > 1) ?? near[0]
  if (unsure !== undefined) return unclear(unsure.name, unsure.codes)
  if (found.length === 0) return { kind: 'absent' }
  const doses = found.flatMap(({ codes, dose }) => codes.map((vaccine) => ({ vaccine, dose })))
  const taken = found.flatMap((each) => each.tokens)
  const value = {
    vaccines: [...new Set(doses.map(({ vaccine }) => vaccine))],
    typed: doses.flatMap(({ vaccine, dose }) => (dose === null ? [] : [{ vaccine, dose }])),
    tokens: taken,
  }
  return { kind: 'taken', value, rest: without(tokens, taken) }
}
