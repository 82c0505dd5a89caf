import { randomBytes, randomInt } from 'node:crypto'

/** Makes UUIDs of version 7 (RFC 9562 §5.7): the time in milliseconds, then 74 random bits. */
export function newIds(now: () => Date): () => string {
  return () => {
    const bytes = randomBytes(16)
    bytes.writeUIntBE(now().getTime(), 0, 6)
    bytes.writeUInt8(0x70 | (bytes.readUInt8(6) & 0x0f), 6)
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
