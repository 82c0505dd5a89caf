import { checkCardNumber } from '../core/card-number.ts'
import { Refusal } from '../core/refusals.ts'

/** The digits of a card number as typed. @throws {Refusal} card-length, card-check-digit */
export function provenCard(typed: string): string {
  const checked = checkCardNumber(typed)
  if (checked.kind === 'card') return checked.number
  throw new Refusal(
    checked.why,
    `${typed} is not a card number: eight digits, the last a check digit. Look at the card again.`,
  )
}
