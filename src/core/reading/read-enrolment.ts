import { addMonths } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { takeDay } from './take-day.ts'
import { takeMark, takeName, takePhone, takePhrase, trimLabels } from './take-parts.ts'
import { trouble } from './taken.ts'
import type { ActReader, Scope, Taken } from './taken.ts'
import { groupsOf, without, wordsOf } from './token.ts'
import type { Token, Tokens } from './token.ts'
import { findVillage } from './village-name.ts'

/** Enrolling a child, in any order of its parts that leaves village and name apart. */

/** Nobody on a register of childhood vaccines is older. */
const OLDEST_YEARS = 18

const takeBirthDate: Taker<Day> = (tokens, scope) => {
  const birth = takeDay(tokens, { direction: 'past', weekdays: false, signed: false }, scope)
  const isTooOld = birth.kind === 'taken' && birth.value <= addMonths(scope.on, -12 * OLDEST_YEARS)
  if (!isTooOld) return birth
  return trouble('date-impossible', { tokens: without(tokens, birth.rest) })
}

/** Every row of neighbouring words, the longest first. */
function rowsOf(tokens: Tokens): Tokens[] {
  return groupsOf(tokens)
    .flatMap((group) =>
      group.flatMap((_, from) =>
        group.slice(from).map((_token, length) => group.slice(from, from + length + 1)),
      ),
    )
    .sort((a, b) => b.length - a.length)
}

/** Takes a village that the district knows, wherever it stands among the words. */
function takeKnownVillage(tokens: Tokens, { text }: Scope, villages: readonly string[]): Taken<string> {
  for (const row of rowsOf(tokens)) {
    const village = findVillage(wordsOf(text, row), villages)
    if (village.kind === 'village') return { kind: 'taken', value: village.name, rest: without(tokens, row) }
  }
  const [first = []] = groupsOf(tokens)
  const village = findVillage(wordsOf(text, first), villages)
  const alike = village.kind === 'unknown' ? village.alike : []
  return trouble('village-unknown', {
    tokens: first,
    alternatives: alike.map((name) => ({ tokens: first, text: name })),
  })
}

/** Takes the village: one the district knows, or the words that come first in a text that starts at a token. */
function takeHome(start: Token | undefined): Taker<string> {
  return (tokens, scope) => {
    const groups = groupsOf(tokens)
    const words = groups.map((group) => trimLabels(group, scope.vocabulary)).find((group) => group.length > 0)
    if (words === undefined) return { kind: 'absent' }
    if (scope.villages !== undefined) return takeKnownVillage(tokens, scope, scope.villages)
    // One row of words behind all other parts is the child's name.
    if (groups.length === 1 && groups[0]?.[0] !== start) return { kind: 'absent' }
    return { kind: 'taken', value: wordsOf(scope.text, words), rest: without(tokens, words) }
  }
}

/** `NEW village birthdate M/F phone name`. */
export const readEnrolment: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const birthDate = form.optional(takeBirthDate)
  const sex = form.optional(takePhrase(scope.vocabulary.sexes))
  const hasNone = form.optional(takeMark('noPhone')) !== undefined
  const phone = hasNone ? null : form.optional(takePhone)
  const village = form.needed('village-missing', takeHome(tokens[0]))
  if (birthDate === undefined) form.check(() => trouble('birth-date-missing'))
  if (sex === undefined) form.check(() => trouble('sex-missing'))
  if (phone === undefined) form.check(() => trouble('phone-missing'))
  const name = form.needed('name-missing', takeName)
  return form.finish({ village, birthDate, sex, phone, name }, (parts) => ({ act: 'enrol', ...parts }))
}
