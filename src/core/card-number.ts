/**
 * Card numbers: eight digits, the last a Damm check digit (H. M. Damm, "Totally anti-symmetric quasigroups for all
 * orders n ≠ 2, 6", 2004). It finds every wrong digit and every swap of neighbours.
 */

/** Row: interim digit, column: next digit. */
const DAMM = [
  '0317598642',
  '7092154863',
  '4206871359',
  '1750983426',
  '6123045978',
  '3674209581',
  '5869720134',
  '8945362017',
  '9438617205',
  '2581436790',
] as const

/** Digits of a card number, check digit included. */
export const CARD_DIGITS = 8

/** The card of the manual and of examples in replies: no child is given it, as somebody will send it as it stands. */
export const MANUAL_CARD = '48217739'
/** The second card of the manual, where an example needs two. */
export const OTHER_MANUAL_CARD = '30951466'

/** Whether a text is a card number, and why not. */
export type CardCheck =
  | { readonly kind: 'card'; readonly number: string }
  | { readonly kind: 'not-card'; readonly why: 'card-length' | 'card-check-digit' }

/** The digit that brings the interim digit back to 0: the interim digit itself (Damm's table has a zero diagonal). */
function checkDigit(digits: string): string {
  let interim = '0'
  for (const digit of digits) interim = DAMM[Number(interim)]?.charAt(Number(digit)) ?? '0'
  return interim
}

/**
 * Proves a card number in ASCII digits, grouped by spaces, hyphens or stops in any way.
 * @example checkCardNumber('4821 7739') // { kind: 'card', number: '48217739' }
 */
export function checkCardNumber(text: string): CardCheck {
  const number = text.replace(/[\s.-]/g, '')
  if (!/^\d+$/.test(number) || number.length !== CARD_DIGITS) return { kind: 'not-card', why: 'card-length' }
  if (checkDigit(number) !== '0') return { kind: 'not-card', why: 'card-check-digit' }
  return { kind: 'card', number }
}

/**
 * The card number that begins with seven given digits; anything but seven digits is a bug and throws.
 * @example makeCardNumber('4821773') // '48217739'
 */
export function makeCardNumber(body: string): string {
  if (!/^\d{7}$/.test(body)) throw new RangeError(`not the body of a card number: ${body}`)
  return body + checkDigit(body)
}

/** As it stands on a card: `4821 7739`. */
export function formatCardNumber(number: string): string {
  return `${number.slice(0, 4)} ${number.slice(4)}`
}
