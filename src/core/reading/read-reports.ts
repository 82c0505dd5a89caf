import type { Day } from '../days/day.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { takeCard } from './take-card.ts'
import { takeDay } from './take-day.ts'
import { takeName, takePhrase, takeWords, unreadWords } from './take-parts.ts'
import type { ActReader } from './taken.ts'

/** Reports about one child in the sender's own words. */

/** `REACTION card words`. */
export const readReaction: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const card = form.needed('card-missing', takeCard)
  const words = form.needed('words-missing', takeWords)
  return form.finish({ card, words }, (parts) => ({ act: 'report-reaction', ...parts }))
}

/** `NAME card name`. */
export const readNewName: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const card = form.needed('card-missing', takeCard)
  const name = form.needed('name-missing', takeName)
  return form.finish({ card, name }, (parts) => ({ act: 'rename-child', ...parts }))
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
  return form.finish(
    { card, outcome },
    (parts) => ({ act: 'record-visit', ...parts, reason, until, words }),
    { reason, words },
  )
}
