import { TAGS } from '../../../../src/gateway/smpp/commands.ts'
import { partOf, wordsOf } from '../../../../src/gateway/smpp/incoming-text.ts'
import { makePdu, type PduParts } from '../../../../src/gateway/smpp/pdu.ts'

function words(...all: PduParts<'deliver_sm'>[]) {
  return wordsOf(
    all.map((parts) => partOf(makePdu('deliver_sm', parts), 'plus')),
    'gsm7',
  )
}

const utf16 = (text: string): Buffer => Buffer.from(text, 'utf16le').swap16()

describe('partOf', () => {
  test('takes a text without a header or TLVs for whole', () => {
    const part = partOf(
      makePdu('deliver_sm', { source: '447700900123', sourceTon: 1, destination: '70900' }),
      'plus',
    )

    expect(part).toMatchObject({ from: '+447700900123', to: '70900', total: 1, number: 1 })
  })

  test('finds the place in TLVs, and ignores one that cannot be', () => {
    const tlvs = (total: number, number: number) =>
      new Map([
        [TAGS.sarReference, Buffer.from([0, 9])],
        [TAGS.sarTotal, Buffer.from([total])],
        [TAGS.sarNumber, Buffer.from([number])],
      ])

    expect(partOf(makePdu('deliver_sm', { tlvs: tlvs(2, 1) }), 'plus')).toMatchObject({
      reference: 'tlv 0009',
      total: 2,
      number: 1,
    })
    expect(partOf(makePdu('deliver_sm', { tlvs: tlvs(2, 3) }), 'plus')).toMatchObject({ total: 1 })
  })

  // In SMPP an address of type 1 has no "+".
  test.each([
    ['447700900123', 1, 'plus', '+447700900123'],
    ['447700900123', 0, 'plus', '447700900123'],
    ['447700900123', 0, 'bare', '+447700900123'],
    ['07700900123', 2, 'plus', '07700900123'],
    ['INFO', 5, 'bare', 'INFO'],
    ['70900', 3, 'bare', '70900'],
  ] as const)('reads the sender %s of type %i (%s) as %s', (source, sourceTon, numbers, from) => {
    expect(partOf(makePdu('deliver_sm', { source, sourceTon }), numbers).from).toBe(from)
  })
})

describe('wordsOf', () => {
  test('joins a character that lies across the cut between two parts', () => {
    const octets = utf16('a🙂b')

    expect(
      words(
        { dataCoding: 8, shortMessage: octets.subarray(0, 4) },
        { dataCoding: 8, shortMessage: octets.subarray(4) },
      ),
    ).toEqual({ body: 'a🙂b' })
    expect(words({ shortMessage: Buffer.from([0x61, 0x1b]) }, { shortMessage: Buffer.from([0x65]) })).toEqual(
      { body: 'a€' },
    )
  })

  test('reads parts that are coded differently, each in its own way', () => {
    expect(words({ dataCoding: 8, shortMessage: utf16('क') }, { shortMessage: Buffer.from([0x00]) })).toEqual(
      { body: 'क@' },
    )
  })

  test('gives what is no text as hexadecimal, and says so', () => {
    expect(words({ dataCoding: 0xf5, shortMessage: Buffer.from([1, 2, 3]) })).toEqual({
      body: '010203',
      isBinary: true,
    })
  })

  test('drops what cannot be stored', () => {
    expect(words({ dataCoding: 3, shortMessage: Buffer.from('BCG\u00001') })).toEqual({ body: 'BCG1' })
    expect(words({ dataCoding: 8, shortMessage: utf16('BCG\u00001') })).toEqual({ body: 'BCG1' })
  })

  test('reads a payload where the short message is empty', () => {
    expect(words({ tlvs: new Map([[TAGS.messagePayload, Buffer.from('WHEN')]]) })).toEqual({ body: 'WHEN' })
  })
})
