import type { Receipt } from '../../app/ports.ts'
import { TAGS } from './commands.ts'
import { canonicalId } from './message-id.ts'
import { readReceiptDate, readReceiptText, stateOfWord, type ReceiptText } from './receipt-text.ts'
import type { Arrival } from './session.ts'
import type { SmppConfig } from './smpp-config.ts'
import { splitHeader } from './user-data-header.ts'

/** Bits of esm_class (SMPP 3.4 §5.2.12): the type of a message, and whether its octets begin with a header. */
const TYPE_BITS = 0x3c
const RECEIPT_TYPE = 0x04
const INTERMEDIATE_TYPE = 0x20
const HEADER_BIT = 0x40

/** What an arrival is, by its esm_class. */
export function kindOfArrival({ esmClass }: Arrival): 'text' | 'receipt' | 'acknowledgement' {
  const type = esmClass & TYPE_BITS
  if (type === 0) return 'text'
  return type === RECEIPT_TYPE || type === INTERMEDIATE_TYPE ? 'receipt' : 'acknowledgement'
}

/** A message's octets, wherever they are carried, with their header split off. */
export function octetsOf(arrival: Arrival): ReturnType<typeof splitHeader> {
  const inBody = arrival.command === 'deliver_sm' ? arrival.shortMessage : Buffer.alloc(0)
  const octets = inBody.length > 0 ? inBody : (arrival.tlvs.get(TAGS.messagePayload) ?? inBody)
  const hasHeader = (arrival.esmClass & HEADER_BIT) !== 0
  return hasHeader ? splitHeader(octets) : { octets, place: null, shift: { locking: null, single: null } }
}

/** message_state (SMPP 3.4 §5.2.28), 1 to 8. */
const STATES: readonly (Receipt['state'] | undefined)[] = [
  undefined,
  'under-way',
  'delivered',
  'undelivered',
  'undelivered',
  'undelivered',
  // "Accepted" is somebody else's word for the phone, so it is not its end.
  'under-way',
  'unknown',
  'undelivered',
]

/** Reads a receipt; TLVs count before the text. Without an id it says nothing of any message and is `null`. */
export function receiptOf(
  arrival: Arrival,
  config: Pick<SmppConfig, 'name' | 'messageIds' | 'receiptZone'>,
): Receipt | null {
  const text = readReceiptText(receiptWords(octetsOf(arrival).octets))
  const id = cStringOf(arrival.tlvs.get(TAGS.receiptedMessageId)) ?? text.id
  if (id === null || id === '') return null
  const said = STATES[arrival.tlvs.get(TAGS.messageState)?.[0] ?? 0] ?? stateOfWord(text.state)
  const isFinal = (arrival.esmClass & TYPE_BITS) === RECEIPT_TYPE
  const state = isFinal ? said : 'under-way'
  return {
    gateway: config.name,
    providerId: canonicalId(id, config.messageIds.inReceipts),
    state,
    reason: state === 'delivered' ? null : reasonOf(text, arrival.tlvs.get(TAGS.networkErrorCode)),
    at: readReceiptDate(text.doneAt, config.receiptZone),
  }
}

/** A receipt's words are ASCII whatever data_coding says; those truly in UTF-16 show it by their NULs. */
function receiptWords(octets: Buffer): string {
  return octets[0] === 0 ? new TextDecoder('utf-16be').decode(octets) : octets.toString('latin1')
}

function cStringOf(value: Buffer | undefined): string | null {
  return value === undefined ? null : (value.toString('latin1').split('\0')[0] ?? '')
}

/** network_error_code (SMPP 3.4 §5.3.2.31): a network type and a 16-bit code. */
function reasonOf({ state, error }: ReceiptText, networkError: Buffer | undefined): string | null {
  const code =
    networkError?.length === 3
      ? `network ${networkError[0] ?? 0} error ${networkError.readUInt16BE(1)}`
      : null
  const words = [state, error === null ? null : `err ${error}`, code].filter((word) => word !== null)
  return words.length === 0 ? null : words.join(' ')
}
