import { NATIONAL_TABLES, type NationalLanguage } from '../../core/texts/national-tables.ts'
import type { Shift } from '../../core/texts/gsm7.ts'

/** Where a part stands in its text. */
export interface PartPlace {
  /** The number that the parts of one text share. */
  readonly reference: number
  readonly total: number
  /** 1 to `total`. */
  readonly number: number
}

/** Information elements of a user data header (3GPP TS 23.040 §9.2.3.24). */
const JOIN_8 = 0x00
const JOIN_16 = 0x08
const SINGLE_SHIFT = 0x24
const LOCKING_SHIFT = 0x25

/** What a header says; `null` where it says nothing. */
export interface UserDataHeader {
  readonly place: (PartPlace & { readonly bits: 8 | 16 }) | null
  readonly shift: Shift
}

/** A text's octets without their header, and what the header said. */
export interface HeadedText extends UserDataHeader {
  readonly octets: Buffer
}

/** No header: a whole text in the default alphabet. */
const NO_HEADER: UserDataHeader = { place: null, shift: { locking: null, single: null } }

/** Writes a header with its length octet; nothing to say gives no header. */
export function writeHeader(place: (PartPlace & { bits: 8 | 16 }) | null, shift: Shift): Buffer {
  const elements = [
    ...(place === null ? [] : joinElement(place)),
    ...tableElement(SINGLE_SHIFT, shift.single),
    ...tableElement(LOCKING_SHIFT, shift.locking),
  ]
  return Buffer.from(elements.length === 0 ? [] : [elements.length, ...elements])
}

function joinElement({ bits, reference, total, number }: PartPlace & { bits: 8 | 16 }): number[] {
  return bits === 8
    ? [JOIN_8, 3, reference & 0xff, total, number]
    : [JOIN_16, 4, (reference >> 8) & 0xff, reference & 0xff, total, number]
}

function tableElement(element: number, language: NationalLanguage | null): number[] {
  return language === null ? [] : [element, 1, NATIONAL_TABLES[language].identifier]
}

/** Splits octets that begin with a header; a header longer than the octets is taken for text. */
export function splitHeader(octets: Buffer): HeadedText {
  const length = octets[0] ?? 0
  if (octets.length === 0 || length + 1 > octets.length) return { ...NO_HEADER, octets }
  let header = NO_HEADER
  for (let at = 1; at + 1 <= length; at += 2 + (octets[at + 1] ?? 0)) {
    const end = at + 2 + (octets[at + 1] ?? 0)
    if (end <= length + 1) header = withElement(header, octets[at] ?? 0, octets.subarray(at + 2, end))
  }
  return { ...header, octets: octets.subarray(length + 1) }
}

function withElement(header: UserDataHeader, element: number, data: Buffer): UserDataHeader {
  const [a = 0, b = 0, c = 0, d = 0] = data
  if (element === JOIN_8 && data.length === 3)
    return placed(header, { bits: 8, reference: a, total: b, number: c })
  if (element === JOIN_16 && data.length === 4) {
    return placed(header, { bits: 16, reference: a * 256 + b, total: c, number: d })
  }
  const language = data.length === 1 ? languageOf(a) : null
  if (element === SINGLE_SHIFT) return { ...header, shift: { ...header.shift, single: language } }
  return element === LOCKING_SHIFT ? { ...header, shift: { ...header.shift, locking: language } } : header
}

/** A place that cannot be is no place: the text is taken for whole (3GPP TS 23.040 §9.2.3.24.1). */
function placed(header: UserDataHeader, place: PartPlace & { bits: 8 | 16 }): UserDataHeader {
  return isPlace(place) ? { ...header, place } : header
}

/** Whether a part can stand there. */
export function isPlace({ total, number }: Pick<PartPlace, 'total' | 'number'>): boolean {
  return number >= 1 && number <= total
}

function languageOf(identifier: number): NationalLanguage | null {
  const [found] = Object.entries(NATIONAL_TABLES).filter(([, tables]) => tables.identifier === identifier)
  // `Object.entries` forgets the key type.
  return found === undefined ? null : (found[0] as NationalLanguage)
}
