/**
 * The GSM 7-bit alphabet of 3GPP TS 23.038: text to septets and back, with the national language shift tables
 * where a route carries them. 0x09 is capital Ç as in the standard; small ç is not in the default alphabet.
 */
import { NATIONAL_TABLES } from './national-tables.ts'
import type { NationalLanguage } from './national-tables.ts'

/** Default alphabet, code 0x00 to 0x7F (TS 23.038 §6.2.1); 0x1B is the escape. */
const DEFAULT_TABLE =
  '@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞ\u001BÆæßÉ !"#¤%&\'()*+,-./0123456789:;<=>?' +
  '¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà'

/** Default extension table, the code after an escape (TS 23.038 §6.2.1.1). */
const EXTENSION_TABLE: Readonly<Record<number, string>> = {
  0x0a: '\f',
  0x14: '^',
  0x28: '{',
  0x29: '}',
  0x2f: '\\',
  0x3c: '[',
  0x3d: '~',
  0x3e: ']',
  0x40: '|',
  0x65: '€',
}

const ESCAPE = 0x1b
const SPACE_CODE = 0x20

/** The national tables a message uses; `null` is the default table. */
export interface Shift {
  readonly locking: NationalLanguage | null
  readonly single: NationalLanguage | null
}

/** A pair of tables, ready to code with. */
export interface Codec {
  readonly shift: Shift
  /** One code, or an escape and a code, for each character. */
  readonly codes: ReadonlyMap<string, readonly number[]>
  readonly locking: string
  readonly single: Readonly<Record<number, string>>
}

function codecOf(shift: Shift): Codec {
  const locking = (shift.locking && NATIONAL_TABLES[shift.locking].locking) ?? DEFAULT_TABLE
  // Every national single shift table holds the default extension table too.
  const single = { ...EXTENSION_TABLE, ...(shift.single && NATIONAL_TABLES[shift.single].single) }
  const codes = new Map<string, readonly number[]>()
  for (const [code, character] of Object.entries(single)) codes.set(character, [ESCAPE, Number(code)])
  Array.from(locking).forEach((character, code) => {
    // A space elsewhere than at 0x20 marks a reserved code.
    if (code !== ESCAPE && (character !== ' ' || code === SPACE_CODE)) codes.set(character, [code])
  })
  return { shift, codes, locking, single }
}

/** The default alphabet and its extension table. */
export const DEFAULT_CODEC: Codec = codecOf({ locking: null, single: null })

/** The codecs a route may use for a language, cheapest header first. */
function codecsOf(language: NationalLanguage): readonly Codec[] {
  const single = codecOf({ locking: null, single: language })
  if (NATIONAL_TABLES[language].locking === null) return [DEFAULT_CODEC, single]
  return [
    DEFAULT_CODEC,
    single,
    codecOf({ locking: language, single: null }),
    codecOf({ locking: language, single: language }),
  ]
}

/** For each language, the pairs of tables that may carry a message in it, cheapest header first. */
export const NATIONAL_CODECS: Readonly<Record<NationalLanguage, readonly Codec[]>> = {
  turkish: codecsOf('turkish'),
  spanish: codecsOf('spanish'),
  portuguese: codecsOf('portuguese'),
  hindi: codecsOf('hindi'),
}

/** Septets a text takes, or `undefined` when a character is not in the tables. */
export function countSeptets(text: string, codec: Codec = DEFAULT_CODEC): number | undefined {
  let count = 0
  for (const character of text) {
    const codes = codec.codes.get(character)
    if (codes === undefined) return undefined
    count += codes.length
  }
  return count
}

/**
 * A text as septets, one an octet, or `undefined` when a character is not in the tables.
 * @example encodeGsm7('a€') // Uint8Array [0x61, 0x1b, 0x65]
 */
export function encodeGsm7(text: string, codec: Codec = DEFAULT_CODEC): Uint8Array | undefined {
  const septets: number[] = []
  for (const character of text) {
    const codes = codec.codes.get(character)
    if (codes === undefined) return undefined
    septets.push(...codes)
  }
  return Uint8Array.from(septets)
}

/**
 * Septets as text; never fails. After an escape an unassigned code shows the character of the main table, a second
 * escape or the end of the text shows a space (TS 23.038 §6.2.1.1, note 1).
 */
export function decodeGsm7(septets: Iterable<number>, codec: Codec = DEFAULT_CODEC): string {
  let text = ''
  let isEscaped = false
  for (const octet of septets) {
    const code = octet & 0x7f
    if (isEscaped) {
      text += code === ESCAPE ? ' ' : (codec.single[code] ?? codec.locking.charAt(code))
      isEscaped = false
    } else if (code === ESCAPE) isEscaped = true
    else text += codec.locking.charAt(code)
  }
  return isEscaped ? `${text} ` : text
}
