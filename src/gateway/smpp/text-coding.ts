/** Outgoing texts as octets: which data_coding, how many parts, and how the parts are marked. */
import { encodeGsm7 } from '../../core/texts/gsm7.ts'
import { packScreen } from '../../core/texts/septets.ts'
import { segments, type Segments } from '../../core/texts/segments.ts'
import { HAS_HEADER } from './arrival.ts'
import { TAGS } from './commands.ts'
import { NO_TLVS, type Tlvs } from './pdu.ts'
import type { SmppConfig } from './smpp-config.ts'
import { writeHeader } from './user-data-header.ts'

/** One part, ready for a submit_sm. */
export interface CodedPart {
  readonly shortMessage: Buffer
  /** esm_class, message features only. */
  readonly esmClass: number
  readonly tlvs: Tlvs
}

/** A text, ready for one submit_sm a part. */
export interface CodedText {
  readonly dataCoding: number
  readonly parts: readonly CodedPart[]
}

/** What of an account decides how texts are coded. */
export type CodingRules = Pick<
  SmppConfig,
  'plain' | 'unicodeDataCoding' | 'national' | 'longTexts' | 'screens'
>

const NO_OCTETS = Buffer.alloc(0)

/**
 * Codes a text. `reference` joins its parts; how many of its bits are used depends on the account. A character
 * the account's alphabet lacks puts the whole text into UCS-2, and never becomes another one.
 */
export function codeText(body: string, rules: CodingRules, reference: number): CodedText {
  const { alphabet, codec, parts } = cutFor(body, rules)
  const dataCoding = alphabet === 'ucs2' ? rules.unicodeDataCoding : rules.plain.dataCoding
  const code = (text: string): Buffer => (codec === null ? utf16(text) : encodePlain(text, codec, rules))
  const shift = codec?.shift ?? { locking: null, single: null }
  if (parts.length > 1 && rules.longTexts === 'payload') {
    return {
      dataCoding,
      parts: [{ shortMessage: NO_OCTETS, esmClass: 0, tlvs: new Map([[TAGS.messagePayload, code(body)]]) }],
    }
  }
  const bits = rules.longTexts === 'udh-16' ? 16 : 8
  return {
    dataCoding,
    parts: parts.map((text, at) => {
      const place = { reference, total: parts.length, number: at + 1 }
      const isHeaded = parts.length > 1 && rules.longTexts !== 'sar'
      const header = writeHeader(isHeaded ? { ...place, bits } : null, shift)
      const tlvs = parts.length > 1 && rules.longTexts === 'sar' ? sarTlvs(place) : NO_TLVS
      return {
        shortMessage: Buffer.concat([header, code(text)]),
        esmClass: header.length > 0 ? HAS_HEADER : 0,
        tlvs,
      }
    }),
  }
}

/** Codes a USSD screen, always one part. */
export function codeScreen(
  text: string,
  { screens }: CodingRules,
): { dataCoding: number; shortMessage: Buffer } {
  const septets = encodeGsm7(text)
  if (septets === undefined) return { dataCoding: screens.unicodeDataCoding, shortMessage: utf16(text) }
  const octets = screens.isPacked ? packScreen(septets) : septets
  return { dataCoding: screens.plainDataCoding, shortMessage: Buffer.from(octets) }
}

/** The parts are cut by septets also where octets are sent, since the SMSC turns those into septets. */
function cutFor(body: string, { plain, national, longTexts }: CodingRules): Segments {
  const route = { referenceBits: longTexts === 'udh-8' ? 8 : 16, ...(national && { national }) } as const
  const fits = plain.alphabet === 'gsm7' || PLAIN_TEXTS[plain.alphabet].test(body)
  return segments(body, fits ? route : { ...route, alphabet: 'ucs2' })
}

/** What the 8-bit alphabets can write, control characters left aside. */
const PLAIN_TEXTS = { latin1: /^[\n\r\x20-\x7e\xa0-\xff]*$/, ascii: /^[\n\r\x20-\x7e]*$/ } as const

function encodePlain(text: string, codec: NonNullable<Segments['codec']>, { plain }: CodingRules): Buffer {
  if (plain.alphabet !== 'gsm7') return Buffer.from(text, 'latin1')
  // The codec was chosen because it can write the text.
  return Buffer.from(encodeGsm7(text, codec) ?? [])
}

/** UCS-2 as phones understand it: UTF-16, big end first, no byte order mark. */
function utf16(text: string): Buffer {
  return Buffer.from(text, 'utf16le').swap16()
}

function sarTlvs({ reference, total, number }: { reference: number; total: number; number: number }): Tlvs {
  return new Map([
    [TAGS.sarReference, Buffer.from([(reference >> 8) & 0xff, reference & 0xff])],
    [TAGS.sarTotal, Buffer.from([total])],
    [TAGS.sarNumber, Buffer.from([number])],
  ])
}
