import { checkCardNumber } from '../core/card-number.ts'
import { comparedWindow, rankCandidates, searchProblem } from '../core/children/search.ts'
import type { ChildQuestion, SearchProblem, Searched } from '../core/children/search.ts'
import { Refusal } from '../core/refusals.ts'
import { childrenToCompare } from '../store/find-children.ts'
import type { Db } from '../store/database.ts'
import type { Deps } from './deps.ts'
import { searchRulesOf } from './matching-rules.ts'

/** Candidates, likeliest first, as many as are shown. */
export interface SearchAnswer {
  readonly children: readonly Searched[]
  /** How many more fit; another fact shortens the list. */
  readonly more: number
}

/**
 * Finds children of a district by two facts or more, or parts of them.
 * @throws {Refusal} search-needs-facts, search-too-wide
 */
export async function searchChildren(
  db: Db,
  { shelf }: Pick<Deps, 'shelf'>,
  districtId: string,
  question: ChildQuestion,
): Promise<SearchAnswer> {
  const rules = await searchRulesOf(db, shelf, districtId)
  const problem = searchProblem(question, rules)
  if (problem !== undefined) throw new Refusal('search-needs-facts', inWords(problem))
  const compared = await childrenToCompare(db, {
    districtId,
    villageId: question.villageId ?? null,
    birth: comparedWindow(question.birth, rules) ?? null,
    cardNumber: wholeCard(question.card),
    limit: rules.comparedAtMost + 1,
  })
  if (compared.length > rules.comparedAtMost) {
    throw new Refusal('search-too-wide', 'Too many children fit; add a village or a part of the birth date.')
  }
  const found = rankCandidates(question, compared, rules)
  return { children: found.slice(0, rules.shownAtMost), more: Math.max(0, found.length - rules.shownAtMost) }
}

function wholeCard(card: string | undefined): string | null {
  const checked = checkCardNumber(card ?? '')
  return checked.kind === 'card' ? checked.number : null
}

const FACTS = {
  name: 'a name',
  birth: 'a birth date or part of one',
  village: 'a village',
  phone: 'a phone number or its last digits',
  card: 'digits of the card number',
  sex: 'the sex',
} as const

function inWords(problem: SearchProblem): string {
  if (problem.kind === 'fact-too-short')
    return `This is too little, or cannot be, of ${FACTS[problem.fact]}; write more of it or leave it out.`
  const more = problem.facts.map((fact) => FACTS[fact]).join(', ')
  return `Say ${problem.needed === 1 ? 'one more' : `${problem.needed} more`} of: ${more}.`
}
