import { createRequire } from 'node:module'
import { DEFAULT_CODEC, NATIONAL_CODECS, decodeGsm7, encodeGsm7 } from '../../../src/core/texts/gsm7.ts'
import { packScreen, packSeptets, unpackScreen, unpackSeptets } from '../../../src/core/texts/septets.ts'

interface PeerEncoding {
  readonly match: (text: string) => boolean
  readonly encode: (text: string) => Buffer
  readonly decode: (octets: Buffer) => string
}

// The smpp package of the registry, a second implementation of the alphabet; it ships no types.
const peer = (createRequire(import.meta.url)('smpp') as { encodings: { ASCII: PeerEncoding } }).encodings
  .ASCII

const hex = (octets: Uint8Array | undefined): string =>
  Buffer.from(octets ?? [])
    .toString('hex')
    .toUpperCase()
const bytes = (text: string): Uint8Array => Uint8Array.from(Buffer.from(text.replaceAll(' ', ''), 'hex'))
const septetsOf = (text: string): Uint8Array => encodeGsm7(text) ?? new Uint8Array()
const spanish = NATIONAL_CODECS.spanish.at(-1) ?? DEFAULT_CODEC

/** 3GPP TS 23.038 §6.2.1, one row a line, as in the standard's table read down its columns. */
const STANDARD_ROWS: readonly (readonly [number, string])[] = [
  [0x00, '@£$¥èéùìòÇ\nØø\rÅå'],
  [0x10, 'Δ_ΦΓΛΩΠΨΣΘΞ'],
  [0x1c, 'ÆæßÉ'],
  [0x20, ' !"#¤%&\'()*+,-./'],
  [0x30, '0123456789:;<=>?'],
  [0x40, '¡ABCDEFGHIJKLMNO'],
  [0x50, 'PQRSTUVWXYZÄÖÑÜ§'],
  [0x60, '¿abcdefghijklmno'],
  [0x70, 'pqrstuvwxyzäöñüà'],
]

/** 3GPP TS 23.038 §6.2.1.1. */
const STANDARD_EXTENSION: readonly (readonly [string, number])[] = [
  ['\f', 0x0a],
  ['^', 0x14],
  ['{', 0x28],
  ['}', 0x29],
  ['\\', 0x2f],
  ['[', 0x3c],
  ['~', 0x3d],
  [']', 0x3e],
  ['|', 0x40],
  ['€', 0x65],
]

describe('the GSM 7-bit alphabet (3GPP TS 23.038)', () => {
  test.each(STANDARD_ROWS)('codes the row that starts at %i as the standard does', (first, characters) => {
    const codes = Array.from(characters, (_, index) => first + index)

    expect([...septetsOf(characters)]).toEqual(codes)
    expect(decodeGsm7(codes)).toBe(characters)
  })

  test.each(STANDARD_EXTENSION)('codes %j as an escape and %i', (character, code) => {
    expect([...septetsOf(character)]).toEqual([0x1b, code])
    expect(decodeGsm7([0x1b, code])).toBe(character)
  })

  test('has no other characters', () => {
    const standard =
      STANDARD_ROWS.reduce((count, [, row]) => count + row.length, 0) + STANDARD_EXTENSION.length

    expect(DEFAULT_CODEC.codes.size).toBe(standard)
    expect(standard).toBe(137)
  })

  test('lacks one printable ASCII character, the backtick', () => {
    const ascii = Array.from({ length: 95 }, (_, index) => String.fromCharCode(0x20 + index))

    expect(ascii.filter((character) => encodeGsm7(character) === undefined)).toEqual(['`'])
  })

  test('holds capital Ç and not small ç, whatever GSM0338.TXT of unicode.org says', () => {
    expect(hex(encodeGsm7('Ç'))).toBe('09')
    expect(encodeGsm7('ç')).toBeUndefined()
  })

  test.each(Array.from('áíóúçâêîôûëïãõÀÈÁÿœ’‘“”–—…•\u00a0'))('lacks %s', (character) => {
    expect(encodeGsm7(character)).toBeUndefined()
  })

  test.each([
    ['an unassigned escape shows the plain character', '41 1B 41 42', 'AAB'],
    ['two escapes show a space', '1B 1B 41', ' A'],
    ['an escape at the end shows a space', '41 1B', 'A '],
  ])('decodes so that %s (TS 23.038 §6.2.1.1 note 1)', (_, octets, text) => {
    expect(decodeGsm7(bytes(octets))).toBe(text)
  })

  test('agrees with the smpp package on every character both know', () => {
    for (const character of DEFAULT_CODEC.codes.keys()) {
      expect([character, hex(peer.encode(character))]).toEqual([character, hex(encodeGsm7(character))])
      expect(peer.decode(Buffer.from(septetsOf(character)))).toBe(character)
      expect(peer.match(character)).toBe(true)
    }
  })
})

describe('national language shift tables (3GPP TS 23.038 Annex A)', () => {
  /** Codes read in the Android Open Source Project's table and in ofono's. */
  test.each([
    ['spanish', 'çÁÍÓÚáíóú€', '1B09 1B41 1B49 1B4F 1B55 1B61 1B69 1B6F 1B75 1B65'],
    [
      'portuguese',
      'êçÔôÁáÀÃÕÂãõâíóú€',
      '1B05 1B09 1B0B 1B0C 1B0E 1B0F 1B41 1B5B 1B5C 1B61 1B7B 1B7C 1B7F 1B69 1B6F 1B75 1B65',
    ],
    ['turkish', 'ĞİŞçğış', '1B47 1B49 1B53 1B63 1B67 1B69 1B73'],
    ['hindi', '।॥०९', '1B19 1B1A 1B1C 1B25'],
  ] as const)('single shift for %s reaches its own letters by an escape', (language, text, codes) => {
    const codec = NATIONAL_CODECS[language][1]

    expect(codec?.shift).toEqual({ locking: null, single: language })
    expect(hex(encodeGsm7(text, codec))).toBe(codes.replaceAll(' ', ''))
    expect(decodeGsm7(bytes(codes), codec)).toBe(text)
  })

  test('locking shift for Hindi puts Devanagari into single septets', () => {
    const codec = NATIONAL_CODECS.hindi[2]

    expect(codec?.shift).toEqual({ locking: 'hindi', single: null })
    expect(hex(encodeGsm7('ँअकॐ', codec))).toBe('00031560')
  })

  test('Spanish has no locking table', () => {
    expect(NATIONAL_CODECS.spanish.map(({ shift }) => shift.locking)).toEqual([null, null])
  })

  test.each(Object.entries(NATIONAL_CODECS))(
    'every %s code decodes to the character it codes',
    (_, codecs) => {
      for (const codec of codecs)
        for (const [character, codes] of codec.codes) expect(decodeGsm7(codes, codec)).toBe(character)
    },
  )

  test('an escape that no table knows falls back to the active locking table', () => {
    const codec = NATIONAL_CODECS.portuguese[2] ?? spanish

    expect(decodeGsm7([0x1b, 0x06], codec)).toBe('ú')
  })
})

describe('packing of septets (3GPP TS 23.038 §6.1.2)', () => {
  /** The first two are widely published; the others were computed by a second implementation. */
  test.each([
    ['hello', 'E8329BFD06'],
    ['hellohello', 'E8329BFD4697D9EC37'],
    ['Test', 'D4F29C0E'],
    ['€', '9B32'],
    ['1234567', '31D98C56B3DD00'],
    ['12345678', '31D98C56B3DD70'],
  ])('packs %s', (text, packed) => {
    const septets = septetsOf(text)

    expect(hex(packSeptets(septets))).toBe(packed)
    expect(unpackSeptets(bytes(packed), septets.length)).toEqual(septets)
  })

  test('leaves one fill bit behind a header of six octets', () => {
    expect(hex(packSeptets(septetsOf('A'), 1))).toBe('82')
    expect(decodeGsm7(unpackSeptets(bytes('82'), 1, 1))).toBe('A')
  })

  /** *100# is the published example of AT+CUSD. */
  test.each([
    ['*100#', 'AA180C3602'],
    ['*384*5#', 'AA198EA6AA8D1A'],
    ['1234567', '31D98C56B3DD1A'],
  ])('packs %s for USSD, padding with a carriage return', (text, packed) => {
    expect(hex(packScreen(septetsOf(text)))).toBe(packed)
    expect(decodeGsm7(unpackScreen(bytes(packed)))).toBe(text)
  })

  test('adds a carriage return where the text itself ends with one on an octet boundary', () => {
    expect(hex(packScreen(septetsOf('1234567\r')))).toBe('31D98C56B3DD1A0D')
  })
})
