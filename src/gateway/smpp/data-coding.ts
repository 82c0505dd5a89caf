import { decodeGsm7, DEFAULT_CODEC, NATIONAL_CODECS, type Codec, type Shift } from '../../core/texts/gsm7.ts'

/** An alphabet in which an SMSC carries plain texts; GSM-7 goes unpacked, one septet an octet. */
export type PlainAlphabet = 'gsm7' | 'latin1' | 'ascii'

type Alphabet = PlainAlphabet | 'utf-16be' | 'iso-8859-5' | 'iso-8859-8' | 'default' | 'binary'

/** Values with a meaning of their own (SMPP 3.4 §5.2.19). */
const CODINGS: Readonly<Record<number, Alphabet>> = {
  0: 'default',
  1: 'ascii',
  2: 'binary',
  3: 'latin1',
  4: 'binary',
  6: 'iso-8859-5',
  7: 'iso-8859-8',
  8: 'utf-16be',
}

/** Bits 3 and 2 of the general groups of a data coding scheme (3GPP TS 23.038 §4). */
const GENERAL_ALPHABETS: readonly Alphabet[] = ['gsm7', 'binary', 'utf-16be', 'binary']

/**
 * The alphabet behind a data_coding. Values the standard leaves open are read as the data coding scheme that an
 * SMSC may hand through.
 */
function alphabetOf(dataCoding: number): Alphabet {
  const group = dataCoding >> 4
  if (group === 0) return CODINGS[dataCoding] ?? (dataCoding === 0x0f ? 'gsm7' : 'binary')
  if (group < 8) return GENERAL_ALPHABETS[(dataCoding >> 2) & 3] ?? 'binary'
  if (group === 0xf) return (dataCoding & 4) === 0 ? 'gsm7' : 'binary'
  return group === 0xe ? 'utf-16be' : group >= 0xc ? 'gsm7' : 'binary'
}

/** How octets became a text. */
export interface OctetCoding {
  readonly dataCoding: number
  readonly shift: Shift
}

/**
 * Octets as text; `plain` is what this SMSC means by its default alphabet. What is no text, or in an alphabet
 * nobody here reads, is `null`.
 */
export function decodeOctets(
  octets: Buffer,
  { dataCoding, shift }: OctetCoding,
  plain: PlainAlphabet,
): string | null {
  const named = alphabetOf(dataCoding)
  const alphabet = named === 'default' ? plain : named
  if (alphabet === 'binary') return null
  if (alphabet === 'gsm7') return decodeGsm7(octets, codecOf(shift))
  if (alphabet === 'latin1' || alphabet === 'ascii') return octets.toString('latin1')
  return new TextDecoder(alphabet).decode(octets)
}

function codecOf({ locking, single }: Shift): Codec {
  const language = locking ?? single
  if (language === null) return DEFAULT_CODEC
  return (
    NATIONAL_CODECS[language].find(({ shift }) => shift.locking === locking && shift.single === single) ??
    DEFAULT_CODEC
  )
}
