import { checkCardNumber, formatCardNumber, makeCardNumber } from '../../src/core/card-number.ts'

/** Bodies spread over the seven digits by a multiplier without a common factor with 10^7. */
const BODIES = Array.from({ length: 500 }, (_, place) =>
  String((place * 7_919_333) % 10_000_000).padStart(7, '0'),
)

describe('makeCardNumber', () => {
  // H. M. Damm (2004) gives 572 → 4; 100023 → 0 and 904517 → 5 by a second implementation (python-stdnum 1.18).
  // Zeros in front leave the check digit as it is.
  test.each([
    ['0000572', '00005724'],
    ['0100023', '01000230'],
    ['0904517', '09045175'],
    ['4821773', '48217739'],
    ['3095146', '30951466'],
    ['7160284', '71602848'],
  ])('puts the Damm digit behind %s', (body, number) => {
    expect(makeCardNumber(body)).toBe(number)
  })

  test.each(['482177', '48217739', '482177x', ''])('throws for the body %p', (body) => {
    expect(() => makeCardNumber(body)).toThrow(RangeError)
  })
})

describe('checkCardNumber', () => {
  test.each(['48217739', '4821 7739', '4821-7739', '48 21 77 39', '4821.7739'])('takes %s', (text) => {
    expect(checkCardNumber(text)).toEqual({ kind: 'card', number: '48217739' })
  })

  test.each([
    ['48217738', 'card-check-digit'],
    ['4821773', 'card-length'],
    ['482177390', 'card-length'],
    ['4821773O', 'card-length'],
    ['', 'card-length'],
  ])('refuses %p: %s', (text, why) => {
    expect(checkCardNumber(text)).toEqual({ kind: 'not-card', why })
  })

  test('refuses every wrong digit in every place', () => {
    const missed = BODIES.map(makeCardNumber).flatMap((number) =>
      Array.from(number).flatMap((digit, place) =>
        Array.from('0123456789')
          .filter((other) => other !== digit)
          .map((other) => number.slice(0, place) + other + number.slice(place + 1))
          .filter((wrong) => checkCardNumber(wrong).kind === 'card'),
      ),
    )

    expect(missed).toEqual([])
  })

  test('refuses every swap of two neighbours', () => {
    const swapped = BODIES.map(makeCardNumber).flatMap((number) =>
      Array.from(number.slice(1))
        .map(
          (digit, place) => number.slice(0, place) + digit + number.charAt(place) + number.slice(place + 2),
        )
        .filter((wrong) => wrong !== number),
    )

    expect(swapped.length).toBeGreaterThan(3000)
    expect(swapped.filter((wrong) => checkCardNumber(wrong).kind === 'card')).toEqual([])
  })
})

test('formatCardNumber writes two groups of four', () => {
  expect(formatCardNumber('48217739')).toBe('4821 7739')
})
