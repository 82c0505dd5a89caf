import type { Day } from '../days/day.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { takeCard } from './take-card.ts'
import { takeDay } from './take-day.ts'
import { takeName, takePhrase, takeWords, unreadWords } from './take-parts.ts'
import { trouble } from './taken.ts'
import type { ActReader } from './taken.ts'

/** Reports about one child in the sender's own words. */

/** `REACTION card words`. */
export const readReaction: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const card = form.needed('card-missing', takeCard)
  const words = form.needed('words-missing', takeWords)
  const problem = form.problem({ card })
  if (problem !== undefined || card === undefined || words === undefined)
    return problem ?? trouble('words-missing')
  return { act: 'report-reaction', card, words }
}

/** `NAME card name`. */
export const readNewName: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const card = form.needed('card-missing', takeCard)
  const name = form.needed('name-missing', takeName)
  const problem = form.problem({ card, name })
  if (problem !== undefined || card === undefined || name === undefined)
    return problem ?? trouble('name-missing')
  return { act: 'rename-child', card, name }
}

const takeReturnDay: Taker<Day> = (tokens, scope) => takeDay(tokens, { direction: 'coming' }, scope)

/** `VISIT card outcome [reason] [day of return] [words]`. */
export const readVisit: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const card = form.needed('card-missing', takeCard)
  const outcome = form.needed('outcome-missing', takePhrase(scope.vocabulary.outcomes))
  const until = outcome === 'away' ? (form.optional(takeReturnDay) ?? null) : null
  const reason = form.optional(takePhrase(scope.vocabulary.reasons)) ?? null
  const words = unreadWords(form.left(), scope).length === 0 ? null : (form.optional(takeName) ?? null)
  const problem = form.problem({ card })
  if (problem !== undefined || card === undefined || outcome === undefined)
    return problem ?? trouble('outcome-missing')
  return { act: 'record-visit', card, outcome, reason, until, words }
}
