import { splitHeader, writeHeader } from '../../../../src/gateway/smpp/user-data-header.ts'

const NO_SHIFT = { locking: null, single: null }

describe('writeHeader', () => {
  // 3GPP TS 23.040 §9.2.3.24.1 and .8 (joining), .15 and .16 (national tables).
  test.each([
    ['8-bit reference 200', { bits: 8, reference: 200, total: 2, number: 1 }, NO_SHIFT, '050003c80201'],
    ['16-bit reference', { bits: 16, reference: 0x1234, total: 3, number: 2 }, NO_SHIFT, '06080412340302'],
    [
      '8-bit reference of more bits',
      { bits: 8, reference: 0x1ff, total: 2, number: 2 },
      NO_SHIFT,
      '050003ff0202',
    ],
    ['Spanish single shift', null, { locking: null, single: 'spanish' }, '03240102'],
    [
      'both tables and a place',
      { bits: 8, reference: 1, total: 2, number: 1 },
      { locking: 'turkish', single: 'turkish' },
      '0b000301020124010125' + '0101',
    ],
    ['nothing', null, NO_SHIFT, ''],
  ] as const)('writes %s', (_, place, shift, hex) => {
    expect(writeHeader(place, shift).toString('hex')).toBe(hex)
  })
})

describe('splitHeader', () => {
  test.each([
    ['an 8-bit reference', '050003c80201' + '41', { bits: 8, reference: 200, total: 2, number: 1 }, '41'],
    [
      'a 16-bit reference',
      '06080412340302' + '41',
      { bits: 16, reference: 0x1234, total: 3, number: 2 },
      '41',
    ],
    ['an element nobody knows before it', '0870010005' + '00030102' + '02'.slice(2), null, ''],
    ['part 0', '050003010200' + '41', null, '41'],
    ['a part beyond the last', '050003010203' + '41', null, '41'],
    ['no parts at all', '050003010000' + '41', null, '41'],
    ['a header longer than the octets', '2041', null, '2041'],
    ['an element longer than the header', '030009' + '01' + '41', null, '41'],
    ['no octets', '', null, ''],
  ])('reads %s', (_, hex, place, rest) => {
    const read = splitHeader(Buffer.from(hex, 'hex'))

    expect(read.place).toEqual(place)
    expect(read.octets.toString('hex')).toBe(rest)
  })

  test('reads which national tables a part uses, and ignores those not known here', () => {
    expect(splitHeader(Buffer.from('0624010225010141', 'hex')).shift).toEqual({
      locking: 'turkish',
      single: 'spanish',
    })
    expect(splitHeader(Buffer.from('0324010d41', 'hex')).shift).toEqual(NO_SHIFT)
  })
})
