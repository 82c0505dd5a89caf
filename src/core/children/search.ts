/** Finding a child without its number: what a search must hold, and who of those compared fits best. */
import anyAscii from 'any-ascii'
import { addDays, addMonths, dayOf } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Sex } from '../model.ts'
import type { IdentifiedChild } from './compare-children.ts'
import { nameLikeness, nameWords } from './name-likeness.ts'
import type { SearchFact, SearchRules } from './search-rules.ts'

/** What is known of the child that is searched for; what is not known is left out. */
export interface ChildQuestion {
  /** In any script and spelling; `*` stands for some letters, `?` for one. */
  readonly name?: string | undefined
  /** `2026`, `2026-03` or `2026-03-14`. */
  readonly birth?: string | undefined
  readonly villageId?: string | undefined
  /** Digits, perhaps only the last ones. */
  readonly phone?: string | undefined
  /** Digits in order; `*` and `?` stand for those that cannot be read. */
  readonly card?: string | undefined
  readonly sex?: Sex | undefined
}

export interface BirthWindow {
  readonly fromOn: Day
  readonly toOn: Day
}

/** Why a search cannot be made, for the one who searches. */
export type SearchProblem =
  | { readonly kind: 'fact-too-short'; readonly fact: SearchFact }
  | { readonly kind: 'facts-missing'; readonly facts: readonly SearchFact[]; readonly needed: number }

/** What has to be said before a search is made; nothing where it can be. */
export function searchProblem(question: ChildQuestion, rules: SearchRules): SearchProblem | undefined {
  const given = factsOf(question)
  const short = given.find((fact) => LONG_ENOUGH[fact]?.(question, rules) === false)
  if (short !== undefined) return { kind: 'fact-too-short', fact: short }
  const missing = rules.factsRequired.filter((fact) => !given.includes(fact))
  const counting = given.filter((fact) => rules.factsThatCount.includes(fact))
  if (missing.length > 0) return { kind: 'facts-missing', facts: missing, needed: missing.length }
  if (counting.length >= rules.factsNeeded) return undefined
  const others = rules.factsThatCount.filter((fact) => !given.includes(fact))
  return { kind: 'facts-missing', facts: others, needed: rules.factsNeeded - counting.length }
}

function factsOf({ name, birth, villageId, phone, card, sex }: ChildQuestion): readonly SearchFact[] {
  const given = { name, birth, village: villageId, phone, card, sex }
  // The keys of a literal object are exactly its type's keys.
  return (Object.keys(given) as SearchFact[]).filter((fact) => given[fact] !== undefined)
}

/** Each more makes a pattern slower to try, and so many leave nothing to look for. */
const WILD_CARDS = 4

function hasFewWildCards(text: string): boolean {
  return text.replace(/[^*]/g, '').length <= WILD_CARDS
}

const BIRTH_PARTS = ['year', 'month', 'day'] as const

/** Whether enough is written of each fact; what comes from a list always is. */
const LONG_ENOUGH: Partial<
  Readonly<Record<SearchFact, (question: ChildQuestion, rules: SearchRules) => boolean>>
> = {
  name: ({ name = '' }, rules) => lettersOf(name).length >= rules.nameLettersAtLeast && hasFewWildCards(name),
  birth: ({ birth = '' }, rules) =>
    partsOf(birth) > BIRTH_PARTS.indexOf(rules.birthNeeds) && birthWindow(birth) !== undefined,
  phone: ({ phone = '' }, rules) => digitsOf(phone).length >= rules.phoneDigitsAtLeast,
  card: ({ card = '' }, rules) => digitsOf(card).length >= rules.cardDigitsAtLeast && hasFewWildCards(card),
}

function partsOf(birth: string): number {
  return birth.split('-').length
}

function lettersOf(name: string): string {
  return nameWords(name.replace(/[*?]/g, ' ')).join('')
}

function digitsOf(text: string): string {
  return anyAscii(text).replace(/\D/g, '')
}

/** The days that a birth date, or a part of one, stands for. */
export function birthWindow(birth: string): BirthWindow | undefined {
  const match = /^(\d{4})(?:-(\d{1,2})(?:-(\d{1,2}))?)?$/.exec(birth)
  if (match === null) return undefined
  const [, year, month, dayOfMonth] = match
  const fromOn = dayOf(Number(year), Number(month ?? 1), Number(dayOfMonth ?? 1))
  if (fromOn === undefined) return undefined
  if (dayOfMonth !== undefined) return { fromOn, toOn: fromOn }
  return { fromOn, toOn: addDays(addMonths(fromOn, month === undefined ? 12 : 1), -1) }
}

/** The days within which children are compared: those asked for, and near ones. */
export function comparedWindow(
  birth: string | undefined,
  { birthSlackDays }: SearchRules,
): BirthWindow | undefined {
  const window = birth === undefined ? undefined : birthWindow(birth)
  if (window === undefined) return undefined
  return { fromOn: addDays(window.fromOn, -birthSlackDays), toOn: addDays(window.toOn, birthSlackDays) }
}

/** What of a child is compared with what was asked. */
export type Searched = Pick<
  IdentifiedChild,
  'id' | 'cardNumber' | 'name' | 'formerNames' | 'sex' | 'birthOn' | 'villageId' | 'phones'
>

/** What a fact that fits adds; a name adds its likeness times this. */
const POINTS = { name: 6, birth: 3, nearBirth: 1, sex: 1 } as const

/** Those whom nothing that was asked speaks against, likeliest first; of equals, by name and then identifier. */
export function rankCandidates<Child extends Searched>(
  question: ChildQuestion,
  children: readonly Child[],
  rules: SearchRules,
): readonly Child[] {
  const ranked = children.flatMap((child) => {
    const points = pointsOf(question, child, rules)
    return points === undefined ? [] : [{ child, points }]
  })
  ranked.sort((one, other) => other.points - one.points || inOrder(one.child, other.child))
  return ranked.map(({ child }) => child)
}

function inOrder(one: Searched, other: Searched): number {
  if (one.name !== other.name) return one.name < other.name ? -1 : 1
  return one.id < other.id ? -1 : 1
}

/** The points of a child; nothing where a fact that was asked speaks against it. */
function pointsOf(question: ChildQuestion, child: Searched, rules: SearchRules): number | undefined {
  const { name, birth, sex } = question
  if (!fitsExactly(question, child)) return undefined
  const likeness = name === undefined ? 0 : nameFit(name, child)
  const born = birth === undefined ? 0 : birthPoints(birth, child.birthOn, rules)
  if (born === undefined || (name !== undefined && likeness < rules.nameLikenessFrom)) return undefined
  return likeness * POINTS.name + born + (sex !== undefined && child.sex === sex ? POINTS.sex : 0)
}

/** Village, phone and card fit or do not; there is no nearly. */
function fitsExactly({ villageId, phone, card }: ChildQuestion, child: Searched): boolean {
  if (villageId !== undefined && villageId !== child.villageId) return false
  if (card !== undefined && !cardFits(card, child.cardNumber)) return false
  return phone === undefined || child.phones.some((number) => phoneFits(phone, number))
}

/** Digits that are a whole number at home; a zero before them stands for the code of the country. */
const DIGITS_AT_HOME = 7

function phoneFits(wanted: string, number: string): boolean {
  const [digits, all] = [digitsOf(wanted), digitsOf(number)]
  return all.endsWith(digits) || (digits.length > DIGITS_AT_HOME && all.endsWith(digits.replace(/^0+/, '')))
}

/** How well a name, or a pattern for one, fits the names a child has or had. */
function nameFit(wanted: string, { name, formerNames }: Searched): number {
  const names = [name, ...formerNames]
  if (/[*?]/.test(wanted)) {
    const pattern = patternOf(wanted)
    return names.some((each) => pattern.test(nameWords(each).join(' '))) ? 1 : 0
  }
  return Math.max(...names.map((each) => nameLikeness(wanted, each).likeness))
}

/** `Fat* Has?an` as it is looked for from the start of a word to the end of one. */
function patternOf(wanted: string): RegExp {
  const parts = wanted.split(/([*?])/).map((part) => {
    if (part === '*') return '[a-z0-9]*'
    if (part === '?') return '[a-z0-9]'
    // What is left is letters, digits and spaces.
    return anyAscii(part)
      .toLowerCase()
      .replace(/['`’.-]/g, '')
      .replace(/[^a-z0-9]+/g, ' ')
  })
  return new RegExp(`(^| )${parts.join('').trim()}( |$)`)
}

function cardFits(wanted: string, cardNumber: string): boolean {
  const pattern = anyAscii(wanted)
    .replace(/[^\d*?]/g, '')
    .replaceAll('*', '\\d*')
    .replaceAll('?', '\\d')
  return new RegExp(pattern).test(cardNumber)
}

function birthPoints(birth: string, birthOn: Day, rules: SearchRules): number | undefined {
  const holds = (window: BirthWindow | undefined): boolean =>
    window !== undefined && birthOn >= window.fromOn && birthOn <= window.toOn
  if (holds(birthWindow(birth))) return POINTS.birth
  return holds(comparedWindow(birth, rules)) ? POINTS.nearBirth : undefined
}
