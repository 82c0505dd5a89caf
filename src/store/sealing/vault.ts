import { createCipheriv, createDecipheriv, createHmac, hkdfSync, randomBytes } from 'node:crypto'

/**
 * Seals what says who somebody is before it goes into the database, and opens it on the way out. AES-256-GCM (NIST SP
 * 800-38D) under keys derived by HKDF (RFC 5869) from a ring of keys that the database never sees. The first key of the
 * ring seals; all of them open.
 *
 * A number has to be found again, so its nonce is the start of a keyed hash of it (HMAC-SHA-256, RFC 2104): the same
 * number is sealed to the same text, and nobody without the key can try numbers out. Everything else gets a nonce by
 * chance, so that two children of one name do not look alike.
 */
export interface Vault {
  readonly seal: (kind: SealKind, text: string) => string
  /** What was sealed; anything else as it is. Throws {@link SealError} when it was tampered with or its key is gone. */
  readonly open: (value: string) => unknown
  /** Under the first key what was sealed under another one, or not at all. */
  readonly sealAgain: (kind: SealKind, value: string) => string
  /** Every text under which this number may be stored: one for each key of the ring, the sealing one first. */
  readonly formsOf: (number: string) => string[]
  /** Short names of the keys of the ring, the sealing one first; they give nothing away. */
  readonly keyIds: readonly [string, ...string[]]
}

/** How a value is sealed: so that it can be found, as words, or as the JSON it is. */
export type SealKind = 'number' | 'text' | 'json'

/** A sealed value cannot be opened: its key is not in the ring, or somebody changed it. */
export class SealError extends Error {
  override readonly name = 'SealError'
}

const CIPHER = 'aes-256-gcm'
const KEY_BYTES = 32
const NONCE_BYTES = 12
const TAG_BYTES = 16
const ID_BYTES = 4

const KINDS: Readonly<Record<string, SealKind>> = { n: 'number', t: 'text', j: 'json' }
const SEALED = /^sealed:([ntj]):([0-9a-f]{8}):([\w-]{38,})$/

/** True for a text that has the shape of a sealed one. */
export const looksSealed = (text: string): boolean => text.startsWith('sealed:') && SEALED.test(text)

interface SealKey {
  readonly id: string
  readonly number: Buffer
  readonly text: Buffer
  readonly nonce: Buffer
}

/**
 * @param keys 32 random octets each, the sealing one first
 * @throws {RangeError} for a key of another length, or none
 */
export function openVault(keys: readonly Uint8Array[]): Vault {
  const [current, ...former] = keys.map(sealKey)
  if (current === undefined) throw new RangeError('a vault needs a key')
  const ring = new Map([current, ...former].map((key) => [key.id, key]))
  return {
    seal: (kind, text) => seal(current, kind, text),
    open: (value) => {
      const { kind, text } = open(ring, value)
      return kind === 'json' ? (JSON.parse(text) as unknown) : text
    },
    sealAgain: (kind, value) => seal(current, kind, open(ring, value).text),
    formsOf: (number) => [...ring.values()].map((key) => seal(key, 'number', number)),
    keyIds: [current.id, ...former.map((key) => key.id)],
  }
}

function sealKey(key: Uint8Array): SealKey {
  if (key.length !== KEY_BYTES) throw new RangeError(`a key has ${KEY_BYTES} octets, not ${key.length}`)
  const derive = (purpose: string, bytes: number): Buffer =>
    Buffer.from(hkdfSync('sha256', key, '', `duebell ${purpose}`, bytes))
  return {
    id: derive('key id', ID_BYTES).toString('hex'),
    number: derive('numbers', KEY_BYTES),
    text: derive('texts', KEY_BYTES),
    nonce: derive('number nonces', KEY_BYTES),
  }
}

let chance = Buffer.alloc(0)

/** Nonces by chance, drawn many at a time: asking the system for each would cost more than sealing. */
function freshNonce(): Buffer {
  if (chance.length === 0) chance = randomBytes(NONCE_BYTES * 256)
  const nonce = chance.subarray(0, NONCE_BYTES)
  chance = chance.subarray(NONCE_BYTES)
  return nonce
}

function seal(key: SealKey, kind: SealKind, text: string): string {
  const isNumber = kind === 'number'
  const nonce = isNumber
    ? createHmac('sha256', key.nonce).update(text).digest().subarray(0, NONCE_BYTES)
    : freshNonce()
  const header = `sealed:${kind.charAt(0)}:${key.id}:`
  const cipher = createCipheriv(CIPHER, isNumber ? key.number : key.text, nonce).setAAD(Buffer.from(header))
  const sealed = Buffer.concat([nonce, cipher.update(text, 'utf8'), cipher.final(), cipher.getAuthTag()])
  return header + sealed.toString('base64url')
}

interface Opened {
  /** Not set: it was not sealed. */
  readonly kind?: SealKind
  readonly text: string
}

function open(ring: ReadonlyMap<string, SealKey>, value: string): Opened {
  const [, letter = '', id = '', packed = ''] =
    (value.startsWith('sealed:') ? SEALED.exec(value) : null) ?? []
  const kind = KINDS[letter]
  if (kind === undefined) return { text: value }
  const key = ring.get(id)
  if (key === undefined)
    throw new SealError(
      `A value is sealed with the key ${id}, which is not in the file of keys; put it back.`,
    )
  const octets = Buffer.from(packed, 'base64url')
  const nonce = octets.subarray(0, NONCE_BYTES)
  const decipher = createDecipheriv(CIPHER, kind === 'number' ? key.number : key.text, nonce)
    .setAAD(Buffer.from(value.slice(0, -packed.length)))
    .setAuthTag(octets.subarray(-TAG_BYTES))
  try {
    const words = decipher.update(octets.subarray(NONCE_BYTES, -TAG_BYTES))
    return { kind, text: Buffer.concat([words, decipher.final()]).toString('utf8') }
  } catch (cause) {
    throw new SealError(`A value sealed with the key ${id} was changed by somebody.`, { cause })
  }
}
