/** Messages from the SMSC: what kind they are, and where their octets are. */
import { TAGS } from './commands.ts'
import type { PduOf } from './pdu.ts'
import { splitHeader, type HeadedText } from './user-data-header.ts'

/** A message from the SMSC. */
export type Arrival = PduOf<'deliver_sm'> | PduOf<'data_sm'>

/** Bits of esm_class (SMPP 3.4 §5.2.12): the octets begin with a header; the type of a message. */
export const HAS_HEADER = 0x40
const TYPE_BITS = 0x3c
const RECEIPT_TYPE = 0x04
const INTERMEDIATE_TYPE = 0x20

/** What an arrival is, by its esm_class. */
export function kindOfArrival({ esmClass }: Arrival): 'text' | 'receipt' | 'acknowledgement' {
  const type = esmClass & TYPE_BITS
  if (type === 0) return 'text'
  return type === RECEIPT_TYPE || type === INTERMEDIATE_TYPE ? 'receipt' : 'acknowledgement'
}

/** Whether a receipt tells the end of a text rather than a step on its way. */
export function isFinal({ esmClass }: Arrival): boolean {
  return (esmClass & TYPE_BITS) === RECEIPT_TYPE
}

/** A message's octets, wherever they are carried, with their header split off. */
export function octetsOf(arrival: Arrival): HeadedText {
  const inBody = arrival.command === 'deliver_sm' ? arrival.shortMessage : Buffer.alloc(0)
  const octets = inBody.length > 0 ? inBody : (arrival.tlvs.get(TAGS.messagePayload) ?? inBody)
  const hasHeader = (arrival.esmClass & HAS_HEADER) !== 0
  return hasHeader ? splitHeader(octets) : { octets, place: null, shift: { locking: null, single: null } }
}
