import type { Receipt } from '../../app/ports.ts'
import { isFinal, octetsOf, type Arrival } from './arrival.ts'
import { TAGS } from './commands.ts'
import { canonicalId } from './message-id.ts'
import { readReceiptDate, readReceiptText, stateOfWord, type ReceiptText } from './receipt-text.ts'
import type { SmppConfig } from './smpp-config.ts'

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
  const state = isFinal(arrival) ? said : 'under-way'
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
