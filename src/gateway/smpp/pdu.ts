/**
 * SMPP 3.4 PDUs: octets to objects and back, with no socket in sight. `decodePdu` takes any octets at all and
 * never throws; `encodePdu` throws only for values no field can hold.
 */
import { ANSWER_BIT, COMMANDS, type Body, type CommandName } from './commands.ts'
import { PduFault, type Cursor, type Field } from './pdu-fields.ts'
import { STATUS } from './status.ts'

/** Optional parameters by tag; of a repeated one the first counts. */
export type Tlvs = ReadonlyMap<number, Buffer>

/** What every PDU has besides its body. */
interface Envelope<Command extends CommandName> {
  readonly command: Command
  /** command_status; 0 in every request. */
  readonly status: number
  /** 1 to 0x7FFFFFFF; an answer has its request's. */
  readonly sequence: number
  readonly tlvs: Tlvs
}

/** One PDU of a given command; of several commands, any of them. */
export type PduOf<Command extends CommandName> = Command extends CommandName
  ? Body<Command> & Envelope<Command>
  : never

/** Any PDU. */
export type Pdu = PduOf<CommandName>

/** What octets turned out to be. */
export type Decoded =
  | { readonly kind: 'pdu'; readonly pdu: Pdu }
  /** A whole PDU of a command that is not in use here. */
  | { readonly kind: 'unknown-command'; readonly id: number; readonly sequence: number }
  /** No PDU of its command; `status` is what to answer. */
  | {
      readonly kind: 'malformed'
      readonly id: number
      readonly sequence: number
      readonly status: number
      readonly reason: string
    }

/** Octets of command_length, command_id, command_status and sequence_number. */
export const HEADER_OCTETS = 16

/** No optional parameters. */
export const NO_TLVS: Tlvs = new Map()

const TLV_HEADER_OCTETS = 4

interface Shape {
  readonly name: CommandName
  readonly id: number
  readonly fields: readonly (readonly [string, Field<unknown>])[]
  readonly empty: Readonly<Record<string, unknown>>
}

const SHAPES = Object.entries(COMMANDS).map(([name, { id, fields }]): Shape => {
  // Each field meets only values of its own kind, as the types of `Pdu` say.
  const list = Object.entries(fields) as [string, Field<unknown>][]
  const empty = Object.fromEntries(list.map(([key, field]) => [key, field.empty]))
  return { name: name as CommandName, id, fields: list, empty }
})
const SHAPE_BY_NAME: ReadonlyMap<string, Shape> = new Map(SHAPES.map((shape) => [shape.name, shape]))
const SHAPE_BY_ID: ReadonlyMap<number, Shape> = new Map(SHAPES.map((shape) => [shape.id, shape]))

function shapeOf(command: CommandName): Shape {
  const shape = SHAPE_BY_NAME.get(command)
  if (shape === undefined) throw new Error(`no such command: ${command}`)
  return shape
}

/** What a PDU is made from; every field left out is empty or 0. */
export type PduParts<Command extends CommandName> = Partial<Omit<PduOf<Command>, 'command'>>

/**
 * Makes a PDU with every field filled in.
 * @example makePdu('enquire_link', { sequence: 7 })
 */
export function makePdu<Command extends CommandName>(
  command: Command,
  parts: PduParts<Command>,
): PduOf<Command> {
  const whole = { status: 0, sequence: 0, tlvs: NO_TLVS, ...shapeOf(command).empty, ...parts, command }
  // The shape's empty fields are those of the command's body.
  return whole as unknown as PduOf<Command>
}

/** Writes a PDU; a value its field cannot hold throws. */
export function encodePdu(pdu: Pdu): Buffer {
  const { id, fields } = shapeOf(pdu.command)
  // The names in a shape are the names in its PDUs.
  const values = pdu as unknown as Readonly<Record<string, unknown>>
  let length = HEADER_OCTETS
  for (const [name, field] of fields) length += field.sizeOf(values[name])
  for (const value of pdu.tlvs.values()) length += TLV_HEADER_OCTETS + value.length
  const octets = Buffer.allocUnsafe(length)
  octets.writeUInt32BE(length, 0)
  octets.writeUInt32BE(id, 4)
  octets.writeUInt32BE(pdu.status, 8)
  octets.writeUInt32BE(pdu.sequence, 12)
  let at = HEADER_OCTETS
  for (const [name, field] of fields) at = field.write(octets, at, values[name])
  for (const [tag, value] of pdu.tlvs) {
    at = octets.writeUInt16BE(tag, at)
    at = octets.writeUInt16BE(value.length, at)
    at += value.copy(octets, at)
  }
  return octets
}

/** Reads the octets of one PDU, from command_length to the end. */
export function decodePdu(octets: Buffer): Decoded {
  if (octets.length < HEADER_OCTETS || octets.readUInt32BE(0) !== octets.length) {
    return {
      kind: 'malformed',
      id: 0,
      sequence: 0,
      status: STATUS.invalidLength,
      reason: 'the length is not that of the octets',
    }
  }
  const id = octets.readUInt32BE(4)
  const sequence = octets.readUInt32BE(12)
  const shape = SHAPE_BY_ID.get(id)
  if (shape === undefined) return { kind: 'unknown-command', id, sequence }
  const cursor = { octets, at: HEADER_OCTETS }
  try {
    const body = readBody(cursor, shape)
    const tlvs = readTlvs(cursor)
    const pdu = { ...body, command: shape.name, status: octets.readUInt32BE(8), sequence, tlvs }
    // The shape was chosen by the command and has read its fields.
    return { kind: 'pdu', pdu: pdu as unknown as Pdu }
  } catch (error) {
    if (!(error instanceof PduFault)) throw error
    return { kind: 'malformed', id, sequence, status: error.status, reason: error.message }
  }
}

/** Answers often come without a body, always when they say no (§4.2.2 note): then every field is empty. */
function readBody(cursor: Cursor, { id, fields, empty }: Shape): Readonly<Record<string, unknown>> {
  if (id >= ANSWER_BIT && cursor.at === cursor.octets.length) return empty
  const body: Record<string, unknown> = {}
  for (const [name, field] of fields) body[name] = field.read(cursor)
  return body
}

function readTlvs(cursor: Cursor): Tlvs {
  const { octets } = cursor
  if (cursor.at === octets.length) return NO_TLVS
  const tlvs = new Map<number, Buffer>()
  while (cursor.at < octets.length) {
    const start = cursor.at + TLV_HEADER_OCTETS
    if (start > octets.length) throw new PduFault('the body ends inside a TLV header', STATUS.invalidTlvs)
    const tag = octets.readUInt16BE(cursor.at)
    cursor.at = start + octets.readUInt16BE(cursor.at + 2)
    if (cursor.at > octets.length) throw new PduFault('a TLV is longer than the body', STATUS.invalidTlvs)
    if (!tlvs.has(tag)) tlvs.set(tag, octets.subarray(start, cursor.at))
  }
  return tlvs
}
