/** Fields of a form; a field that came several times keeps all its values, in order. */
export type FormFields = Readonly<Record<string, readonly string[]>>

const [AMPERSAND, EQUALS, PLUS, PERCENT, SPACE] = [0x26, 0x3d, 0x2b, 0x25, 0x20]

/** Well-formed UTF-8 sequences of two to four bytes (Unicode, table 3-7), seen as Latin-1. */
const UTF8_SEQUENCES =
  /[\xc2-\xdf][\x80-\xbf]|(?:\xe0[\xa0-\xbf]|[\xe1-\xec\xee\xef][\x80-\xbf]|\xed[\x80-\x9f])[\x80-\xbf]|(?:\xf0[\x90-\xbf]|[\xf1-\xf3][\x80-\xbf]|\xf4[\x80-\x8f])[\x80-\xbf]{2}/g

/**
 * Bytes as text: what is UTF-8 is read as UTF-8, every byte that is not is read as Latin-1. Providers mix
 * the two, and one bad byte must not spoil the rest.
 * @example decodeText(Buffer.from('e9c3a9', 'hex')) // 'éé'
 */
export function decodeText(bytes: Buffer): string {
  return bytes
    .toString('latin1')
    .replace(UTF8_SEQUENCES, (sequence) => Buffer.from(sequence, 'latin1').toString('utf8'))
}

/**
 * Reads an `application/x-www-form-urlencoded` body or a query, byte by byte; it never fails.
 * @example decodeForm(Buffer.from('text=%E9+caf%C3%A9')) // { text: ['é café'] }
 */
export function decodeForm(body: Buffer): FormFields {
  const fields = new Map<string, string[]>()
  for (const pair of splitAt(body, AMPERSAND)) {
    if (pair.length === 0) continue
    const cut = pair.indexOf(EQUALS)
    const name = decodeText(unescapeBytes(cut < 0 ? pair : pair.subarray(0, cut)))
    const value = cut < 0 ? '' : decodeText(unescapeBytes(pair.subarray(cut + 1)))
    fields.set(name, [...(fields.get(name) ?? []), value])
  }
  return Object.fromEntries(fields)
}

function splitAt(bytes: Buffer, separator: number): Buffer[] {
  const pieces: Buffer[] = []
  let start = 0
  for (let at = bytes.indexOf(separator); at >= 0; at = bytes.indexOf(separator, start)) {
    pieces.push(bytes.subarray(start, at))
    start = at + 1
  }
  return [...pieces, bytes.subarray(start)]
}

/** "+" is a space, "%41" is a byte; a "%" before anything else is itself. */
function unescapeBytes(bytes: Buffer): Buffer {
  const plain = Buffer.alloc(bytes.length)
  let length = 0
  for (let at = 0; at < bytes.length; at += 1) {
    const byte = bytes[at] ?? 0
    const digits = byte === PERCENT ? bytes.toString('latin1', at + 1, at + 3) : ''
    const isEscape = /^[0-9a-f]{2}$/i.test(digits)
    if (isEscape) at += 2
    plain[length] = isEscape ? parseInt(digits, 16) : byte === PLUS ? SPACE : byte
    length += 1
  }
  return plain.subarray(0, length)
}
