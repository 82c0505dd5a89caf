import type { CodeMap } from '../core/exchange/code-map.ts'
import type { IndicatorSettings } from '../core/coverage/indicator-settings.ts'
import type { DoubleRules } from '../core/children/double-rules.ts'
import type { SearchRules } from '../core/children/search-rules.ts'
import { mustBeValid } from '../core/checked-data.ts'
import type { ColdChainRules } from '../core/cold-chain/cold-chain-rules.ts'
import type { Spending } from '../core/delivery/spending.ts'
import type { District } from '../core/model.ts'
import type { SenderLimits } from '../core/operation/sender-limits.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import type { NamedVaccine, Vocabulary } from '../core/reading/vocabulary.ts'
import type { Retention } from '../core/retention/terms.ts'
import type { AlertRules } from '../core/reactions/alert-rules.ts'
import type { Cautions } from '../core/reactions/cautions.ts'
import type { CoreVariable } from '../core/reactions/line-list.ts'
import type { SignCatalogue } from '../core/reactions/sign-catalogue.ts'
import { Refusal } from '../core/refusals.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import { withOverrides } from '../core/texts/check-phrase-book.ts'
import type { PhraseBook } from '../core/texts/phrases.ts'
import type { SupplyPlanning } from '../core/supplies/supply-planning.ts'
import type { DiscardWords } from '../core/vials/discard-reason.ts'
import type { Product } from '../core/vials/product.ts'
import type { VialPolicy } from '../core/vials/vial-policy.ts'

/** Data that comes with a release: schedules, phrases, policies. */
export interface Shelf {
  readonly schedules: ReadonlyMap<string, Schedule>
  /** By language. English is always there. */
  readonly books: ReadonlyMap<string, PhraseBook>
  readonly policies: ReadonlyMap<string, ReminderPolicy>
  /** What texts may take and cost, where a district sets nothing of its own. */
  readonly spending: Spending
  /** How long what is kept, where a district sets nothing of its own. */
  readonly retention: Retention
  /** What one number can be believed to send. */
  readonly senderLimits: SenderLimits
  /** The lines a programme draws in its figures. */
  readonly indicators: IndicatorSettings
  /** How children are searched and doubles found, where a district has set nothing else. */
  readonly search: SearchRules
  readonly doubles: DoubleRules
  /** Every vaccine that some schedule knows. */
  readonly vaccineCodes: ReadonlySet<string>
  /** The words that are understood in a district with these vaccines (`districtWords`). */
  readonly vocabularyOf: (
    district: Pick<District, 'languages' | 'calendar'>,
    vaccines: readonly NamedVaccine[],
  ) => Vocabulary
  /** The word PIN in every language, as `wordKey` has it. */
  readonly pinWords: ReadonlySet<string>
  readonly products: readonly Product[]
  readonly vialPolicies: readonly VialPolicy[]
  readonly discardWords: DiscardWords
  readonly coldChain: ColdChainRules
  readonly supplies: SupplyPlanning
  readonly signs: SignCatalogue
  readonly alerts: AlertRules
  readonly cautions: Cautions
  readonly coreVariables: readonly CoreVariable[]
  /** How vaccines are called in other registers. */
  readonly codes: CodeMap
}

/** @throws {Refusal} schedule-not-found */
export function scheduleOf(shelf: Pick<Shelf, 'schedules'>, code: string): Schedule {
  const schedule = shelf.schedules.get(code)
  if (schedule !== undefined) return schedule
  const known = [...shelf.schedules.keys()].join(', ')
  throw new Refusal('schedule-not-found', `There is no schedule ${code}; known are ${known}.`)
}

/** The book of a language, or the English one. */
export function bookOf(shelf: Shelf, language: string): PhraseBook {
  const book = shelf.books.get(language) ?? shelf.books.get('en')
  if (book === undefined) throw new Error('the English phrase book is missing')
  return book
}

/** Books with a district's own wording, by language and wording: few districts have any. */
const ownBooks = new Map<string, PhraseBook>()

/** The book of a language as a district words it. */
export function bookFor(shelf: Shelf, { wording }: Pick<District, 'wording'>, language: string): PhraseBook {
  const book = bookOf(shelf, language)
  const own = wording[book.language]
  if (own === undefined) return book
  const key = `${book.language} ${JSON.stringify(own)}`
  const known = ownBooks.get(key)
  if (known !== undefined) return known
  const made = mustBeValid(withOverrides(book, own))
  ownBooks.set(key, made)
  return made
}

/** The reminder policy of a district. */
export function policyOf(shelf: Shelf, name: string): ReminderPolicy {
  const policy = shelf.policies.get(name)
  if (policy === undefined) throw new Error(`the reminder policy ${name} is missing`)
  return policy
}
