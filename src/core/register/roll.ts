/** Who of a register is known already: the roll is asked for each row in turn, so rows of one file see each other. */
import type { Day } from '../days/day.ts'
import { formatCardNumber } from '../card-number.ts'
import type { RegisterProblem } from './register-columns.ts'
import type { RegisterChild } from './register-row.ts'
import { nameKey } from './register-row.ts'

/** A child on the roll. `cardNumber` is `null` until one is made. */
export interface Enrolled {
  readonly id: string
  readonly villageId: string
  readonly cardNumber: string | null
  readonly name: string
  readonly birthOn: Day
  /** The record was merged into another one; only its card is still spoken for. */
  readonly isMerged: boolean
  /** The child is of another district; only its card is spoken for here. */
  readonly isElsewhere: boolean
}

export interface Roll {
  readonly byCard: Map<string, Enrolled>
  readonly byBirth: Map<string, Enrolled>
}

export type Match =
  | { readonly kind: 'known'; readonly id: string }
  | { readonly kind: 'new' }
  | { readonly kind: 'conflict'; readonly problem: RegisterProblem }

export function openRoll(enrolled: readonly Enrolled[]): Roll {
  const roll: Roll = { byCard: new Map(), byBirth: new Map() }
  for (const child of enrolled) enter(roll, child)
  return roll
}

/** Puts a child on the roll, so that later rows find it. */
export function enter(roll: Roll, child: Enrolled): void {
  if (child.cardNumber !== null) roll.byCard.set(child.cardNumber, child)
  if (!child.isMerged && !child.isElsewhere) roll.byBirth.set(birthKey(child), child)
}

/**
 * The child of a row: the one with its card in this district, when name and birth date agree too; without a card the one of the same
 * village, birth date and name. Anything that half agrees is a conflict for a person to settle.
 */
export function matchRow(roll: Roll, row: RegisterChild): Match {
  const { cardNumber } = row
  const ofBirth = roll.byBirth.get(birthKey(row))
  if (cardNumber === null) return ofBirth === undefined ? { kind: 'new' } : { kind: 'known', id: ofBirth.id }
  const ofCard = roll.byCard.get(cardNumber)
  if (ofCard !== undefined) {
    if (ofCard.isMerged) return conflict(row, 'card-merged', MERGED)
    return isSame(ofCard, row) && !ofCard.isElsewhere
      ? { kind: 'known', id: ofCard.id }
      : conflict(row, 'card-taken', TAKEN)
  }
  if (ofBirth === undefined) return { kind: 'new' }
  return conflict(row, 'child-has-card', hasCardAdvice(ofBirth))
}

const TAKEN = 'Another child has this card; check the number, the name and the birth date.'
const MERGED = 'The record of this card was merged into another; use the card of that one.'

function hasCardAdvice({ cardNumber }: Enrolled): string {
  const card = cardNumber === null ? 'no card in this file' : `card ${formatCardNumber(cardNumber)}`
  return `A child of this name and birth date has ${card}; use that, or change the name if this is another child.`
}

function conflict({ line, cardNumber }: RegisterChild, code: string, advice: string): Match {
  return { kind: 'conflict', problem: { line, column: 'card_number', value: cardNumber ?? '', code, advice } }
}

function isSame(child: Enrolled, row: RegisterChild): boolean {
  return child.birthOn === row.birthOn && nameKey(child.name) === nameKey(row.name)
}

function birthKey(child: Pick<Enrolled, 'villageId' | 'birthOn' | 'name'>): string {
  return `${child.villageId} ${child.birthOn} ${nameKey(child.name)}`
}
