/** USSD over SMPP: which arrivals are steps of a dialogue, and how a screen goes back (SMPP 3.4 §5.3.2.44). */
import type { ScreenAnswer, ScreenRequest } from '../../app/ports.ts'
import { unpackScreen } from '../../core/texts/septets.ts'
import { arrivedText } from '../arrived-text.ts'
import { senderOf } from './address.ts'
import { octetsOf, type Arrival } from './arrival.ts'
import { TAGS } from './commands.ts'
import { decodeOctets } from './data-coding.ts'
import { makePdu, type PduOf } from './pdu.ts'
import type { SmppConfig } from './smpp-config.ts'
import { codeScreen } from './text-coding.ts'

/** ussd_service_op: what a phone sends and what it is sent. */
const OPS = { processBegin: 0, begin: 1, ask: 2, endOfDialogue: 17, reply: 18 } as const

/** The end-of-session bit of its_session_info's second octet (§5.3.2.43). */
const END_BIT = 0x01

/** A step of a dialogue; `other` is part of one too, and needs no screen. */
export type Step = Omit<ScreenRequest, 'gateway'> | 'other'

/** The step in an arrival, or `null` for what is no USSD at all. */
export function readStep(arrival: Arrival, config: SmppConfig): Step | null {
  const op = arrival.tlvs.get(TAGS.ussdServiceOp)?.[0]
  if (op === undefined) return null
  const [session, sequence = 0] = arrival.tlvs.get(TAGS.itsSessionInfo) ?? []
  const isFirst = op === OPS.begin || op === OPS.processBegin
  if ((!isFirst && op !== OPS.reply) || (sequence & END_BIT) !== 0) return 'other'
  const from = senderOf(arrival, config.numbers)
  return { dialogue: `${from}/${session ?? ''}`, from, typed: typedIn(arrival, config), isFirst }
}

function typedIn(arrival: Arrival, { plain, screens }: SmppConfig): string {
  const { octets, shift } = octetsOf(arrival)
  const isPacked = screens.isPacked && arrival.dataCoding === screens.plainDataCoding
  const unpacked = isPacked ? Buffer.from(unpackScreen(octets)) : octets
  const text = decodeOctets(unpacked, { dataCoding: arrival.dataCoding, shift }, plain.alphabet)
  return arrivedText(text ?? '').trim()
}

/** The submit that shows a screen: it asks for keys, or ends the dialogue. */
export function screenPdu(
  arrival: Arrival,
  { text, ends }: ScreenAnswer,
  config: SmppConfig,
): PduOf<'submit_sm'> {
  const op = ends ? OPS.endOfDialogue : OPS.ask
  const info = arrival.tlvs.get(TAGS.itsSessionInfo)
  return makePdu('submit_sm', {
    serviceType: 'USSD',
    source: arrival.destination,
    sourceTon: arrival.destinationTon,
    sourceNpi: arrival.destinationNpi,
    destination: arrival.source,
    destinationTon: arrival.sourceTon,
    destinationNpi: arrival.sourceNpi,
    ...codeScreen(text, config),
    tlvs: new Map([
      [TAGS.ussdServiceOp, Buffer.from([op])],
      ...(info === undefined ? [] : [[TAGS.itsSessionInfo, nextSessionInfo(info, ends)] as const]),
    ]),
  })
}

/** The same session, the next number in it (seven bits), and whether it ends. */
function nextSessionInfo([session = 0, sequence = 0]: Buffer, ends: boolean): Buffer {
  return Buffer.from([session, ((((sequence >> 1) + 1) << 1) & 0xfe) | (ends ? END_BIT : 0)])
}
