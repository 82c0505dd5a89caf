import { isSupportedCountry, parsePhoneNumberFromString } from 'libphonenumber-js/max'
import type { PhoneNumber } from 'libphonenumber-js/max'
import { asciiDigits, withoutMarks } from './reading/clean-text.ts'

/** Why a text cannot be a phone number: it has letters, or no number of this length exists in the plan. */
export type PhoneFault = 'letters' | 'length'

/** What a text says as a phone number. */
export type PhoneReading =
  /** E.164 with "+". `isSure` is false where the plan's data do not know the range: new ranges and fiction. */
  | { readonly kind: 'phone'; readonly number: string; readonly isSure: boolean }
  | { readonly kind: 'impossible'; readonly why: PhoneFault }

/**
 * Reads a phone number as it is typed in a region (ISO 3166-1 alpha-2): national, international with "+" or "00",
 * or international with the "+" lost. Blocks what is not possible; a number that is only unknown is not sure.
 * @example parsePhoneNumber('07700 900123', 'GB') // { kind: 'phone', number: '+447700900123', isSure: false }
 */
export function parsePhoneNumber(text: string, region: string): PhoneReading {
  const typed = asciiDigits(withoutMarks(text).normalize('NFKC')).trim()
  // The library reads letters as dialling-pad digits or extensions, and drops leading ones.
  if (/\p{L}/u.test(typed)) return { kind: 'impossible', why: 'letters' }
  const dialled = typed.replace(/^00/, '+')
  const number =
    possibleNumber(dialled, region) ??
    (dialled.startsWith('+') ? undefined : possibleNumber(`+${dialled}`, region))
  if (number === undefined) return { kind: 'impossible', why: 'length' }
  return { kind: 'phone', number: number.number, isSure: number.isValid() }
}

function possibleNumber(text: string, region: string): PhoneNumber | undefined {
  const plan = isSupportedCountry(region) ? { defaultCountry: region } : {}
  const number = parsePhoneNumberFromString(text, { ...plan, extract: false })
  return number?.isPossible() === true && number.ext === undefined ? number : undefined
}

/**
 * A number as logs may show it: enough to tell two apart, too little to call.
 * @example maskPhoneNumber('+447700900123') // '+44…23'
 */
export function maskPhoneNumber(number: string): string {
  return `${number.slice(0, 3)}…${number.slice(-2)}`
}
