import { canonicalId } from '../../../../src/gateway/smpp/message-id.ts'

describe('canonicalId', () => {
  test('finds a hexadecimal id of an answer in a decimal receipt', () => {
    expect(canonicalId('33E95179', 'hex')).toBe(canonicalId('0870928761', 'decimal'))
  })

  test('finds an id whose leading zeros were dropped', () => {
    expect(canonicalId('0221067780', 'text-without-zeros')).toBe(
      canonicalId('221067780', 'text-without-zeros'),
    )
  })

  test.each([
    ['0033', 'text', '0033'],
    ['000', 'text-without-zeros', '0'],
    ['not-hex', 'hex', 'not-hex'],
    ['12ab', 'decimal', '12ab'],
    ['ffffffffffffffffffff', 'hex', '1208925819614629174706175'],
  ] as const)('spells %s as %s: %s', (id, form, canonical) => {
    expect(canonicalId(id, form)).toBe(canonical)
  })
})
