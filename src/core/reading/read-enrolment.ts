import { addMonths } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { takeDay } from './take-day.ts'
import { takeMark, takeName, takePhone, takePhrase, trimLabels } from './take-parts.ts'
import { trouble } from './taken.ts'
import type { ActReader } from './taken.ts'
import { groupsOf, without, wordsOf } from './token.ts'
import type { Tokens } from './token.ts'
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

/**
 * Takes the village: a name the district knows, else the words that come first. One row of words behind all
 * other parts is the child's name.
 */
const takeHome: Taker<string> = (tokens, scope) => {
  const { villages, vocabulary, text } = scope
  const groups = groupsOf(tokens)
  const isNameOnly = groups.length === 1 && groups[0]?.[0]?.index !== 0
  const words = groups.map((group) => trimLabels(group, vocabulary)).find((group) => group.length > 0)
  if (words === undefined || (isNameOnly && villages === undefined)) return { kind: 'absent' }
  const typed = wordsOf(text, words)
  if (villages === undefined) return { kind: 'taken', value: typed, rest: without(tokens, words) }
  for (const row of rowsOf(tokens)) {
    const village = findVillage(wordsOf(text, row), villages)
    if (village.kind === 'village') return { kind: 'taken', value: village.name, rest: without(tokens, row) }
  }
  const reading = findVillage(typed, villages)
  const alike = reading.kind === 'unknown' ? reading.alike : []
  return trouble('village-unknown', {
    tokens: words,
    alternatives: alike.map((name) => ({ tokens: words, text: name })),
  })
}

/** `NEW village birthdate M/F phone name`. */
export const readEnrolment: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const birthDate = form.needed('birth-date-missing', takeBirthDate)
  const sex = form.needed('sex-missing', takePhrase(scope.vocabulary.sexes))
  const hasNone = form.optional(takeMark('noPhone')) !== undefined
  const phone = hasNone ? null : form.needed('phone-missing', takePhone)
  const village = form.needed('village-missing', takeHome)
  const name = form.needed('name-missing', takeName)
  return form.finish({ village, birthDate, sex, phone, name }, (parts) => ({ act: 'enrol', ...parts }))
}
