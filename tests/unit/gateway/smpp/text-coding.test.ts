import { decodeOctets } from '../../../../src/gateway/smpp/data-coding.ts'
import { TAGS } from '../../../../src/gateway/smpp/commands.ts'
import { codeScreen, codeText, type CodingRules } from '../../../../src/gateway/smpp/text-coding.ts'

const rules: CodingRules = {
  plain: { dataCoding: 0, alphabet: 'gsm7' },
  unicodeDataCoding: 8,
  national: undefined,
  longTexts: 'udh-8',
  screens: { plainDataCoding: 0x0f, unicodeDataCoding: 0x48, isPacked: false },
}
const hexOf = (body: string, more: Partial<CodingRules> = {}, reference = 200): string[] =>
  codeText(body, { ...rules, ...more }, reference).parts.map((part) => part.shortMessage.toString('hex'))

describe('codeText', () => {
  // Octets by 3GPP TS 23.038 §6.2.1.
  test.each([
    ['plain words', 'Hello', 0x00, '48656c6c6f'],
    ['signs that ASCII writes otherwise', '@$_[€', 0x00, '0002111b3c1b65'],
    ['Devanagari, big end first, no byte order mark', 'कल', 0x08, '0915' + '0932'],
    ['a backtick, which the alphabet lacks, as itself', 'a`b', 0x08, '006100600062'],
    ['an emoji as a surrogate pair', '🙂', 0x08, 'd83dde42'],
  ])('codes %s', (_, body, dataCoding, hex) => {
    expect(codeText(body, rules, 1)).toMatchObject({ dataCoding, parts: [{ esmClass: 0 }] })
    expect(hexOf(body)).toEqual([hex])
  })

  // Sizes: TS 23.040 §9.2.3.24.1.
  test('cuts 300 letters into two headed parts with one reference', () => {
    const { parts } = codeText('a'.repeat(300), rules, 200)

    expect(parts.map((part) => part.shortMessage.subarray(0, 6).toString('hex'))).toEqual([
      '050003c80201',
      '050003c80202',
    ])
    expect(parts.map((part) => part.shortMessage.length)).toEqual([6 + 153, 6 + 147])
    expect(parts.every((part) => part.esmClass === 0x40 && part.tlvs.size === 0)).toBe(true)
  })

  test('cuts shorter parts for a 16-bit reference', () => {
    const { parts } = codeText('a'.repeat(300), { ...rules, longTexts: 'udh-16' }, 0x1234)

    expect(parts.map((part) => part.shortMessage.subarray(0, 7).toString('hex'))).toEqual([
      '06080412340201',
      '06080412340202',
    ])
    expect(parts[0]?.shortMessage.length).toBe(7 + 152)
  })

  test('puts the place of a part into TLVs, and no header beside them', () => {
    const { parts } = codeText('a'.repeat(300), { ...rules, longTexts: 'sar' }, 0x1234)

    expect(parts.map((part) => part.esmClass)).toEqual([0, 0])
    expect(
      parts.map(({ tlvs }) =>
        [TAGS.sarReference, TAGS.sarTotal, TAGS.sarNumber].map((tag) => tlvs.get(tag)?.toString('hex')),
      ),
    ).toEqual([
      ['1234', '02', '01'],
      ['1234', '02', '02'],
    ])
  })

  test('puts a long text whole into a payload, and a short one not', () => {
    const payload = { longTexts: 'payload' } as const
    const [part, ...more] = codeText('a'.repeat(300), { ...rules, ...payload }, 1).parts

    expect(more).toEqual([])
    expect(part?.shortMessage.length).toBe(0)
    expect(part?.tlvs.get(TAGS.messagePayload)?.length).toBe(300)
    expect(hexOf('Hi', payload)).toEqual(['4869'])
  })

  test.each([
    ['latin1', 'Sant\u00e9 @', 3, '53616e74e92040'],
    ['latin1', 'ça va', 8, '00e700610020007600' + '61'],
    ['ascii', 'Hello @', 1, '48656c6c6f2040'],
    ['ascii', 'é', 8, '00e9'],
    ['latin1', '5 €', 8, '0035002020ac'],
  ] as const)(
    'writes in %s what the phone can show and that alphabet can carry: %s',
    (alphabet, body, dataCoding, hex) => {
      const plain = { dataCoding: alphabet === 'latin1' ? 3 : 1, alphabet }

      expect(codeText(body, { ...rules, plain }, 1).dataCoding).toBe(dataCoding)
      expect(hexOf(body, { plain })).toEqual([hex])
    },
  )

  // TS 23.038 table 6.2.1.2.4.2: Spanish has a single shift table and no locking one.
  test('names the national table a text needs', () => {
    expect(hexOf('¿Cuándo? Útil: á', { national: 'spanish' })[0]).toMatch(/^03240102/)
    expect(codeText('¿Cuándo? Útil: á', { ...rules, national: 'spanish' }, 1).parts[0]?.esmClass).toBe(0x40)
    expect(hexOf('Hola', { national: 'spanish' })).toEqual(['486f6c61'])
  })
})

describe('codeScreen', () => {
  // Packed values: 3GPP TS 23.038 §6.1.2.3, as published with the AT+CUSD command ("*100#").
  test.each([
    ['*100#', false, 0x0f, '2a31303023'],
    ['*100#', true, 0x0f, 'aa180c3602'],
    ['1234567', true, 0x0f, '31d98c56b3dd1a'],
    ['कल', true, 0x48, '09150932'],
  ])('codes %s, packed: %s', (text, isPacked, dataCoding, hex) => {
    const { shortMessage, ...rest } = codeScreen(text, { ...rules, screens: { ...rules.screens, isPacked } })

    expect(rest).toEqual({ dataCoding })
    expect(shortMessage.toString('hex')).toBe(hex)
  })
})

describe('decodeOctets', () => {
  const shift = { locking: null, single: null }

  // Codings: SMPP 3.4 §5.2.19, groups: TS 23.038 §4.
  test.each([
    ['4140', 0x00, 'gsm7', 'A¡'],
    ['4140', 0x00, 'latin1', 'A@'],
    ['411b4142', 0x00, 'gsm7', 'AAB'],
    ['1b1b41', 0x00, 'gsm7', ' A'],
    ['411b', 0x00, 'gsm7', 'A '],
    ['4140', 0x01, 'gsm7', 'A@'],
    ['e941', 0x03, 'gsm7', 'éA'],
    ['09150932', 0x08, 'gsm7', 'कल'],
    ['d83dde42', 0x08, 'gsm7', '🙂'],
    ['4140', 0x10, 'latin1', 'A¡'],
    ['0041', 0x18, 'gsm7', 'A'],
    ['0041', 0x48, 'gsm7', 'A'],
    ['4140', 0x0f, 'latin1', 'A¡'],
    ['4140', 0xf0, 'latin1', 'A¡'],
    ['4140', 0xd0, 'latin1', 'A¡'],
    ['0041', 0xe0, 'gsm7', 'A'],
    ['b0d1', 0x06, 'gsm7', 'Аб'],
    ['010203', 0xf5, 'gsm7', null],
    ['010203', 0x04, 'gsm7', null],
    ['010203', 0x02, 'gsm7', null],
    ['010203', 0x05, 'gsm7', null],
    ['010203', 0x44, 'gsm7', null],
    ['010203', 0x80, 'gsm7', null],
  ] as const)('reads %s under data_coding %i, default %s, as %j', (hex, dataCoding, plain, text) => {
    expect(decodeOctets(Buffer.from(hex, 'hex'), { dataCoding, shift }, plain)).toBe(text)
  })

  test('reads with the national table that the header named', () => {
    const spanish = { locking: null, single: 'spanish' } as const

    expect(decodeOctets(Buffer.from('1b61', 'hex'), { dataCoding: 0, shift: spanish }, 'gsm7')).toBe('á')
  })
})
