/** Texts from phones: the octets of one or many parts, as words. */
import type { IncomingText } from '../../app/ports.ts'
import { arrivedText } from '../arrived-text.ts'
import { senderOf } from './address.ts'
import { octetsOf, type Arrival } from './arrival.ts'
import { TAGS } from './commands.ts'
import { decodeOctets, type OctetCoding, type PlainAlphabet } from './data-coding.ts'
import type { ArrivedPart } from './joining.ts'
import { isPlace } from './user-data-header.ts'

/** Where a part stands, by its header or by TLVs; `null` is a text of one part. */
interface JoinedPlace {
  readonly reference: string
  readonly total: number
  readonly number: number
}

/** An arrival as a part; a text of one part is part 1 of 1. */
export function partOf(arrival: Arrival, numbers: 'plus' | 'bare'): ArrivedPart {
  const { octets, place, shift } = octetsOf(arrival)
  const inHeader = place && { ...place, reference: `header ${place.bits} ${place.reference}` }
  const { reference, total, number } = inHeader ?? placeInTlvs(arrival) ?? ALONE
  const { dataCoding, destination: to } = arrival
  return { from: senderOf(arrival, numbers), to, reference, total, number, dataCoding, shift, octets }
}

const ALONE: JoinedPlace = { reference: '', total: 1, number: 1 }

function placeInTlvs({ tlvs }: Arrival): JoinedPlace | null {
  const reference = tlvs.get(TAGS.sarReference)
  const total = tlvs.get(TAGS.sarTotal)?.[0]
  const number = tlvs.get(TAGS.sarNumber)?.[0]
  if (reference === undefined || total === undefined || number === undefined) return null
  const place = { reference: `tlv ${reference.toString('hex')}`, total, number }
  return isPlace(place) ? place : null
}

/** The words of parts in order; what is no text comes as hexadecimal. */
export function wordsOf(
  parts: readonly ArrivedPart[],
  plain: PlainAlphabet,
): Pick<IncomingText, 'body' | 'isBinary'> {
  const runs = runsOf(parts).map(({ coding, octets }) => decodeOctets(Buffer.concat(octets), coding, plain))
  const words = runs.filter((run) => run !== null)
  if (words.length === runs.length) return { body: arrivedText(words.join('')) }
  return { body: Buffer.concat(parts.map((part) => part.octets)).toString('hex'), isBinary: true }
}

interface Run {
  readonly coding: OctetCoding
  readonly octets: Buffer[]
}

/** Parts coded alike are decoded together: a character may lie across the cut between two. */
function runsOf(parts: readonly ArrivedPart[]): Run[] {
  const runs: Run[] = []
  for (const { dataCoding, shift, octets } of parts) {
    const last = runs.at(-1)
    if (last !== undefined && isSame(last.coding, { dataCoding, shift })) last.octets.push(octets)
    else runs.push({ coding: { dataCoding, shift }, octets: [octets] })
  }
  return runs
}

function isSame(a: OctetCoding, b: OctetCoding): boolean {
  return (
    a.dataCoding === b.dataCoding && a.shift.locking === b.shift.locking && a.shift.single === b.shift.single
  )
}
