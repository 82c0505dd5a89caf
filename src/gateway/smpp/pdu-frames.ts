import { HEADER_OCTETS } from './pdu.ts'

/** Nothing longer is a PDU: a message_payload of 64 KiB and room for the rest. */
const LONGEST_PDU = 0x11000

/** What became of some octets from the wire. */
export interface Frames {
  /** The octets of each whole PDU. */
  readonly frames: readonly Buffer[]
  /** What is left until more comes. */
  readonly rest: Buffer
  /** True when a length is impossible: no later octet can be trusted, the connection is lost. */
  readonly isLost: boolean
}

/** Cuts a stream into PDUs by their command_length. */
export function cutFrames(rest: Buffer, chunk: Buffer): Frames {
  const octets = rest.length === 0 ? chunk : Buffer.concat([rest, chunk])
  const frames: Buffer[] = []
  let at = 0
  while (at + 4 <= octets.length) {
    const length = octets.readUInt32BE(at)
    if (length < HEADER_OCTETS || length > LONGEST_PDU) return { frames, rest: Buffer.alloc(0), isLost: true }
    if (at + length > octets.length) break
    frames.push(octets.subarray(at, at + length))
    at += length
  }
  return { frames, rest: octets.subarray(at), isLost: false }
}
