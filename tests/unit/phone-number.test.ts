import { maskPhoneNumber, parsePhoneNumber } from '../../src/core/phone-number.ts'

describe('parsePhoneNumber', () => {
  // Kenyan numbers in the ways in which they reach us; lengths and prefixes by the plan data of libphonenumber.
  test.each([
    ['0712345678', '+254712345678'],
    ['254712345678', '+254712345678'],
    ['712345678', '+254712345678'],
    ['+254(0)712345678', '+254712345678'],
    ['٠٧١٢٣٤٥٦٧٨', '+254712345678'],
    ['+২৫৪৭১২৩৪৫৬৭৮', '+254712345678'],
    ['00254712345678', '+254712345678'],
    [' 254712345678', '+254712345678'],
    ['\u200e+254712345678', '+254712345678'],
    ['0712 345-678', '+254712345678'],
  ])('reads %p in Kenya as %s', (text, number) => {
    expect(parsePhoneNumber(text, 'KE')).toEqual({ kind: 'phone', number, isSure: true })
  })

  test.each([
    ['O712345678', 'letters'],
    ['071234567B', 'letters'],
    ['0712345678x5', 'letters'],
    ['INFO', 'letters'],
    ['40404', 'length'],
    ['', 'length'],
  ])('refuses %p in Kenya: %s', (text, why) => {
    expect(parsePhoneNumber(text, 'KE')).toEqual({ kind: 'impossible', why })
  })

  // Ofcom reserves 07700 900000 to 900999 for fiction.
  test.each([
    '07700 900123',
    '+447700900123',
    '+44 (0)7700 900 123',
    '(07700) 900123',
    '7700900123',
    '447700900123',
  ])('takes the number kept for fiction %p, not being sure of it', (text) => {
    expect(parsePhoneNumber(text, 'GB')).toEqual({ kind: 'phone', number: '+447700900123', isSure: false })
  })

  test('takes an international number whose plus was lost, also abroad', () => {
    expect(parsePhoneNumber('254712345678', 'GB')).toMatchObject({ number: '+254712345678' })
  })

  test('refuses the eight digits that Ivory Coast gave up for ten', () => {
    expect(parsePhoneNumber('+225 07123456', 'CI')).toEqual({ kind: 'impossible', why: 'length' })
    expect(parsePhoneNumber('+225 07 12 34 56 78', 'CI')).toMatchObject({ kind: 'phone', isSure: true })
  })

  test('takes only international numbers where the region is unknown', () => {
    expect(parsePhoneNumber('+254712345678', 'XX')).toMatchObject({ number: '+254712345678' })
    expect(parsePhoneNumber('0712345678', 'XX')).toMatchObject({ kind: 'impossible' })
  })
})

test('maskPhoneNumber leaves no seven digits in a row', () => {
  expect(maskPhoneNumber('+447700900123')).toBe('+44…23')
})
