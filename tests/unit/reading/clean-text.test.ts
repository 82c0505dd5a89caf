import { asciiDigits, cleanText, wordKey } from '../../../src/core/reading/clean-text.ts'

/** Zeros of the scripts whose decimal digits Unicode 15 puts in one row of ten. */
const ZEROS = [
  0x0660, 0x06f0, 0x07c0, 0x0966, 0x09e6, 0x0a66, 0x0ae6, 0x0b66, 0x0be6, 0x0c66, 0x0ce6, 0x0d66, 0x0e50,
  0x0ed0, 0x1040, 0x17e0, 0x1e950, 0xff10,
]

describe('asciiDigits', () => {
  test.each(ZEROS)('reads the digits from U+%s on', (zero) => {
    const native = Array.from({ length: 10 }, (_, value) => String.fromCodePoint(zero + value))

    expect(native.every((digit) => /^\p{Nd}$/u.test(digit))).toBe(true)
    expect(asciiDigits(native.join(''))).toBe('0123456789')
  })
})

describe('cleanText', () => {
  test.each([
    ['Gave\u00a04821\u202f7739\u200b', 'Gave 4821 7739'],
    ['“GAVE” ‘OPV’ – a — b', '"GAVE" \'OPV\' - a - b'],
    ['opv،penta؛pcv۔', 'opv,penta;pcv.'],
    ['ｇａｖｅ ４８２１', 'gave 4821'],
    ['\u200egave\u200f \ufeffopv', 'gave opv'],
    ['4️⃣8️⃣2️⃣1️⃣', '4821'],
    ['gave 👩🏽‍⚕️ opv ✅', 'gave opv'],
    ['opv\u0000 1', 'opv 1'],
    ['a\r\nb\rc\u2028d', 'a\nb\nc\nd'],
    ['  a \t b  ', 'a b'],
    ['N´Djamena d`Ivoire', "N'Djamena d'Ivoire"],
    ['cafe\u0301', 'café'],
    ['half \ud83d a pair', 'half a pair'],
    ['\u200b\u00a0\u2060', ''],
  ])('makes %j plain', (text, clean) => {
    expect(cleanText(text)).toBe(clean)
  })

  test('keeps the joiners that spell Persian and Hindi words', () => {
    expect(cleanText('می\u200cروم क्\u200dष')).toBe('می\u200cروم क्\u200dष')
  })
})

describe('wordKey', () => {
  test.each([
    ['Arrêté', 'ARRETE'],
    ['FRANÇAIS', 'FRANCAIS'],
    ['istop', 'ISTOP'],
    ['sœur', 'SOEUR'],
    ['أوقف', 'اوقف'],
    ['توقّف', 'توقف'],
    ['متى', 'متي'],
    ['फ़ोन', 'फोन'],
    ['हाँ', 'हां'],
  ])('compares %s as %s', (word, key) => {
    expect(wordKey(word)).toBe(wordKey(key))
    expect(wordKey(wordKey(word))).toBe(wordKey(word))
  })

  test('keeps the vowel signs that tell Hindi words apart', () => {
    expect(wordKey('दिया')).not.toBe(wordKey('दया'))
  })
})
