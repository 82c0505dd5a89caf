/**
 * How a text goes over the air: which alphabet, how many units, and where it is cut into parts (3GPP TS 23.038,
 * TS 23.040 §9.2.3.24). A part holds 140 octets, less the user data header that joins the parts and names the
 * national tables. An escape pair, a surrogate pair and a grapheme are never cut in two.
 */
import { countSeptets, DEFAULT_CODEC, NATIONAL_CODECS } from './gsm7.ts'
import type { Codec } from './gsm7.ts'
import type { NationalLanguage } from './national-tables.ts'

export type Alphabet = 'gsm7' | 'ucs2'

/** What the route can do; by default no national tables and 8-bit references. */
export interface Route {
  /** The language whose national shift tables the route carries. */
  readonly national?: NationalLanguage
  /** Width of the number that joins the parts of one message. */
  readonly referenceBits?: 8 | 16
  /** Set where the route cannot carry the default alphabet, or not this text in it. */
  readonly alphabet?: 'ucs2'
}

export interface Segments {
  readonly alphabet: Alphabet
  /** The tables to code each part with; `null` means UTF-16. */
  readonly codec: Codec | null
  /** Septets or 16-bit units of the whole text, without headers. */
  readonly units: number
  /** The text of each part, at least one; joined they are the text. The air allows 255. */
  readonly parts: readonly string[]
}

const PART_OCTETS = 140
/** Length octet of a user data header. */
const HEADER_LENGTH_OCTETS = 1
/** Element that names one national table. */
const TABLE_ELEMENT_OCTETS = 3
/** Element that joins parts. */
const JOIN_ELEMENT_OCTETS = { 8: 5, 16: 6 } as const

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })

/** A way to write a text: what a character costs and how many units a part holds. */
interface Coding {
  readonly codec: Codec | null
  readonly cost: (piece: string) => number
  readonly single: number
  readonly joined: number
}

function capacity(elementOctets: number, unitBits: 7 | 16): number {
  const header = elementOctets === 0 ? 0 : HEADER_LENGTH_OCTETS + elementOctets
  return Math.floor(((PART_OCTETS - header) * 8) / unitBits)
}

function septetCoding(codec: Codec, referenceBits: 8 | 16): Coding {
  const tables = [codec.shift.locking, codec.shift.single].filter((table) => table !== null).length
  const elements = tables * TABLE_ELEMENT_OCTETS
  return {
    codec,
    cost: (piece) => countSeptets(piece, codec) ?? 0,
    single: capacity(elements, 7),
    joined: capacity(elements + JOIN_ELEMENT_OCTETS[referenceBits], 7),
  }
}

function wideCoding(referenceBits: 8 | 16): Coding {
  return {
    codec: null,
    cost: (piece) => piece.length,
    single: capacity(0, 16),
    joined: capacity(JOIN_ELEMENT_OCTETS[referenceBits], 16),
  }
}

/** Graphemes, and characters where one grapheme is longer than a part. */
function pieces(text: string, coding: Coding): string[] {
  // The default alphabet has no marks, so only CR LF belongs together; Intl.Segmenter is slow.
  if (coding.codec === DEFAULT_CODEC) return text.match(/\r\n|[^]/gu) ?? []
  return Array.from(graphemes.segment(text), ({ segment }) => segment).flatMap((grapheme) =>
    coding.cost(grapheme) > coding.joined ? Array.from(grapheme) : [grapheme],
  )
}

function cut(text: string, coding: Coding): Segments {
  const units = coding.cost(text)
  const alphabet = coding.codec === null ? 'ucs2' : 'gsm7'
  if (units <= coding.single) return { alphabet, codec: coding.codec, units, parts: [text] }
  const parts: string[] = []
  let part = ''
  let used = 0
  for (const piece of pieces(text, coding)) {
    const cost = coding.cost(piece)
    if (used + cost > coding.joined) {
      parts.push(part)
      part = ''
      used = 0
    }
    part += piece
    used += cost
  }
  return { alphabet, codec: coding.codec, units, parts: [...parts, part] }
}

/** The tables of the route that hold a text, shortest header first; none means UCS-2. */
export function codecsFor(text: string, { national, alphabet }: Route = {}): readonly Codec[] {
  if (alphabet === 'ucs2') return []
  const codecs = national === undefined ? [DEFAULT_CODEC] : NATIONAL_CODECS[national]
  return codecs.filter((codec) => countSeptets(text, codec) !== undefined)
}

/** Cuts a text into the fewest parts the route allows; between equals the shortest header wins. */
export function segments(text: string, route: Route = {}): Segments {
  const { referenceBits = 8 } = route
  const [first, ...others] = codecsFor(text, route).map((codec) =>
    cut(text, septetCoding(codec, referenceBits)),
  )
  if (first === undefined) return cut(text, wideCoding(referenceBits))
  return others.reduce((best, next) => (next.parts.length < best.parts.length ? next : best), first)
}

export interface Measure {
  readonly alphabet: Alphabet
  /** Septets or 16-bit units of the whole text, without headers. */
  readonly units: number
  readonly parts: number
}

/**
 * What a text costs.
 * @example measure('a'.repeat(161)) // { alphabet: 'gsm7', units: 161, parts: 2 }
 */
export function measure(text: string, route: Route = {}): Measure {
  const { alphabet, units, parts } = segments(text, route)
  return { alphabet, units, parts: parts.length }
}

/** Limits of one USSD screen: 182 septets fill 160 octets; 70 UCS-2 units stay below their 80. */
const SCREEN_UNITS = { gsm7: 182, ucs2: 70 } as const

/** Whether a text fits one USSD screen of any phone. */
export function fitsScreen(text: string): boolean {
  const septets = countSeptets(text)
  return septets === undefined ? text.length <= SCREEN_UNITS.ucs2 : septets <= SCREEN_UNITS.gsm7
}
