import type { Body } from './commands.ts'
import { arrivedNumber } from '../arrived-text.ts'

/** Type of number and numbering plan (SMPP 3.4 §5.2.5, §5.2.6). */
const INTERNATIONAL = 1
const E164 = 1

/** The destination fields for an E.164 number: digits only, "+" is for people. */
export function destinationOf(
  number: string,
): Pick<Body<'submit_sm'>, 'destination' | 'destinationTon' | 'destinationNpi'> {
  return { destination: number.replace(/^\+/, ''), destinationTon: INTERNATIONAL, destinationNpi: E164 }
}

/** Who sent a message: E.164 where the type or the account says so, else as it came. */
export function senderOf(
  { source, sourceTon }: Pick<Body<'deliver_sm'>, 'source' | 'sourceTon'>,
  numbers: 'plus' | 'bare',
): string {
  return arrivedNumber(source, sourceTon === INTERNATIONAL ? 'bare' : numbers)
}
