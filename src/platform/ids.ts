import { randomBytes, randomInt } from 'node:crypto'

/** Largest value of the 12 bits that count within a millisecond. */
const MOST_IN_A_MS = 0xfff

/**
 * Makes UUIDs of version 7 (RFC 9562 §5.7, §6.2 method 1): the time in milliseconds, 12 bits that count up within one,
 * 62 random bits. Those of one process sort in the order in which they were made, also when the clock stands or steps
 * back.
 */
export function newIds(now: () => Date): () => string {
  let ms = 0
  let count = 0
  return () => {
    const time = now().getTime()
    if (time > ms) {
      ms = time
      // Begins low, so that there is room to count.
      count = randomInt(1024)
    } else if (count < MOST_IN_A_MS) {
      count += 1
    } else {
      ms += 1
      count = 0
    }
    const bytes = randomBytes(16)
    bytes.writeUIntBE(ms, 0, 6)
    bytes.writeUInt16BE(0x7000 | count, 6)
    bytes.writeUInt8(0x80 | (bytes.readUInt8(8) & 0x3f), 8)
    return bytes.toString('hex').replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
  }
}

/** A secret of 256 random bits that fits into an address or a header. */
export function newSecret(): string {
  return randomBytes(32).toString('base64url')
}

/** Six random digits, for a person to type within minutes. */
export function newCode(): string {
  return String(randomInt(1_000_000)).padStart(6, '0')
}

const STEPS = 2 ** 47

/** Uniform in [0, 1). */
export function random(): number {
  return randomInt(STEPS) / STEPS
}
