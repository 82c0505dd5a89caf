/** So many digits tell a country and most often an operator, and leave a million people or more. */
const DIGITS = 6

/**
 * The part of a number that may be stored as it is.
 * @example numberStart('+447700900123') // '+447700'
 */
export function numberStart(number: string): string {
  return number.slice(0, 1 + DIGITS)
}
