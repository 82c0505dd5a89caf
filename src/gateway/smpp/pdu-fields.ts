/**
 * The building blocks of SMPP PDU bodies (SMPP 3.4 §3.1): how each kind of field is measured, written and read.
 * Reading never goes past the end of the body; what does not fit is a `PduFault`.
 */

import { STATUS } from './status.ts'

/** A body that cannot be what its command says, or a value that does not fit its field. */
export class PduFault extends Error {
  override readonly name = 'PduFault'
  /** What to answer. */
  readonly status: number

  constructor(message: string, status: number = STATUS.invalidLength) {
    super(message)
    this.status = status
  }
}

/** Where reading has got to in a body. */
export interface Cursor {
  readonly octets: Buffer
  at: number
}

/** One kind of field. */
export interface Field<Value> {
  /** What an absent field holds. */
  readonly empty: Value
  readonly sizeOf: (value: Value) => number
  /** Writes the field at an offset and gives the offset after it. */
  readonly write: (octets: Buffer, at: number, value: Value) => number
  readonly read: (cursor: Cursor) => Value
}

/** An integer of 1 or 4 octets. */
export function integer(size: 1 | 4): Field<number> {
  return {
    empty: 0,
    sizeOf: () => size,
    write: (octets, at, value) => octets.writeUIntBE(value, at, size),
    read(cursor) {
      if (cursor.at + size > cursor.octets.length) throw new PduFault('the body ends inside an integer')
      cursor.at += size
      return cursor.octets.readUIntBE(cursor.at - size, size)
    },
  }
}

/** Octets up to a NUL, at most `limit` with it (C-Octet String); read and written as Latin-1. */
export function cString(limit: number): Field<string> {
  return {
    empty: '',
    sizeOf(value) {
      if (value.length >= limit) throw new PduFault(`a text of ${value.length} octets in a field of ${limit}`)
      return value.length + 1
    },
    write(octets, at, value) {
      octets.write(value, at, 'latin1')
      octets[at + value.length] = 0
      return at + value.length + 1
    },
    read(cursor) {
      const end = cursor.octets.indexOf(0, cursor.at)
      if (end < 0 || end - cursor.at >= limit)
        throw new PduFault(`a text does not end within ${limit} octets`)
      const value = cursor.octets.toString('latin1', cursor.at, end)
      cursor.at = end + 1
      return value
    },
  }
}

/** Octets with their number, at most 254, in the octet before them (sm_length and short_message). */
export const shortMessage: Field<Buffer> = {
  empty: Buffer.alloc(0),
  sizeOf(value) {
    if (value.length > 254) throw new PduFault(`a short message of ${value.length} octets`)
    return value.length + 1
  },
  write(octets, at, value) {
    octets[at] = value.length
    return at + 1 + value.copy(octets, at + 1)
  },
  read(cursor) {
    const length = cursor.octets[cursor.at]
    const start = cursor.at + 1
    if (length === undefined || start + length > cursor.octets.length) {
      throw new PduFault('the body ends inside the short message')
    }
    cursor.at = start + length
    return cursor.octets.subarray(start, cursor.at)
  },
}
