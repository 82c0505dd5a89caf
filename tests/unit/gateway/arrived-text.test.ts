import { arrivedNumber, arrivedText } from '../../../src/gateway/arrived-text.ts'

describe('arrivedText', () => {
  test.each([
    ['BCG\u00001', 'BCG1'],
    ['half a pair \ud83d.', 'half a pair \ufffd.'],
    ['whole 🙂', 'whole 🙂'],
  ])('makes %j fit to be stored', (given, kept) => {
    expect(arrivedText(given)).toBe(kept)
  })
})

describe('arrivedNumber', () => {
  test.each([
    ['+254712345678', 'plus', '+254712345678'],
    [' 254712345678', 'plus', '+254712345678'],
    ['00254712345678', 'plus', '+254712345678'],
    ['+254 (712) 345-678', 'plus', '+254712345678'],
    ['254712345678', 'bare', '+254712345678'],
    ['254712345678', 'plus', '254712345678'],
    ['0712345678', 'bare', '0712345678'],
    ['70900', 'bare', '70900'],
    ['INFO', 'bare', 'INFO'],
  ] as const)('reads %j (%s) as %s', (given, written, number) => {
    expect(arrivedNumber(given, written)).toBe(number)
  })
})
