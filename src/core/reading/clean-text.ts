/**
 * What phones make of a text is undone here, in an order that matters: invisible marks, compatibility forms,
 * typographic signs, digit scripts, white space. Case and accents stay; `wordKey` removes them for comparing.
 */

/** First code point of each script's ten decimal digits (Unicode category Nd), besides ASCII. */
const DIGIT_ZEROS = [
  0x0660, 0x06f0, 0x07c0, 0x0966, 0x09e6, 0x0a66, 0x0ae6, 0x0b66, 0x0be6, 0x0c66, 0x0ce6, 0x0d66, 0x0e50,
  0x0ed0, 0x1040, 0x17e0, 0x1e950, 0xff10,
] as const

const ASCII_DIGITS = new Map(
  DIGIT_ZEROS.flatMap((zero) =>
    Array.from({ length: 10 }, (_, value): [string, string] => [
      String.fromCodePoint(zero + value),
      String(value),
    ]),
  ),
)

/** Joiners are spelling inside Arabic and Indic words, and noise anywhere else. */
const STRAY_JOINERS =
  /(?<![\p{Script=Arabic}\p{Script=Devanagari}\p{Script=Bengali}\p{M}])[\u200c\u200d]|[\u200c\u200d](?![\p{Script=Arabic}\p{Script=Devanagari}\p{Script=Bengali}])/gu

const SIGNS: readonly (readonly [RegExp, string])[] = [
  [/[\u2018\u2019\u201a\u201b\u2032\u02bc\u02bb]/gu, "'"],
  [/[\u201c-\u201f\u2033\u00ab\u00bb]/gu, '"'],
  [/[\u2010-\u2015\u2212\ufe63]/gu, '-'],
  [/[\u060c\u3001\u1363]/gu, ','],
  [/[\u061b\u1364]/gu, ';'],
  [/[\u06d4\u0964\u0965\u3002\u1362\u066b]/gu, '.'],
  [/\u061f/gu, '?'],
  [/[\u1361\u00b7\u2022]/gu, ' '],
]

/** Digits of every script as 0 to 9. */
export function asciiDigits(text: string): string {
  return text.replace(/\p{Nd}/gu, (digit) => ASCII_DIGITS.get(digit) ?? digit)
}

/** Text without invisible formatting marks. */
export function withoutMarks(text: string): string {
  return text.replace(STRAY_JOINERS, '').replace(/(?![\u200c\u200d])\p{Cf}/gu, '')
}

const PICTURES = /[\p{Extended_Pictographic}\p{Emoji_Modifier}\p{Regional_Indicator}]/gu
const LINE_BREAK = /\r\n?|[\v\f\u0085\u2028\u2029]/gu
/** Control codes, halves of surrogate pairs, variation selectors, keycap frames. */
const NOISE = /(?!\n)[\p{Cc}\p{Cs}\p{Variation_Selector}]|\u20e3/gu

/**
 * A text as its sender meant it: plain signs, ASCII digits, single spaces, no pictures; line breaks stay.
 * @example cleanText('GAVE\u00a0٤٨٢١‑٧٧٣٩ 💉') // 'GAVE 4821-7739'
 */
export function cleanText(text: string): string {
  // ´ and ` first: NFKC would turn ´ into a space and a loose accent.
  const composed = withoutMarks(text.replace(LINE_BREAK, '\n').replace(/[\u00b4`]/gu, "'"))
    .replace(/\t/gu, ' ')
    .replace(NOISE, '')
    .normalize('NFKC')
  const signs = SIGNS.reduce((plain, [pattern, sign]) => plain.replace(pattern, sign), composed)
  return asciiDigits(signs.replace(PICTURES, ' '))
    .replace(/[^\S\n]+/gu, ' ')
    .replace(/ ?\n[ \n]*/gu, '\n')
    .trim()
}

/** Accents of Latin, Greek and Cyrillic; vowel signs and hamzas of Arabic; the dot below of Devanagari; joiners. */
const ACCENTS = /(?=\p{M})[\p{Script=Inherited}\p{Script=Arabic}]|\u0640|\u093c|\u200c|\u200d|'/gu

/** Letters that are written one for the other. */
const TWINS: Readonly<Record<string, string>> = {
  ى: 'ي',
  ی: 'ي',
  ک: 'ك',
  ة: 'ه',
  '\u0901': '\u0902',
  Œ: 'OE',
  Æ: 'AE',
  Ø: 'O',
  Ł: 'L',
  Đ: 'D',
}

const TWIN_LETTERS = new RegExp(Object.keys(TWINS).join('|'), 'gu')

/**
 * A word as it is compared: capitals (by no country's rule, or a Turkish phone would lose every I), no accents.
 * @example wordKey('Arrêté') // 'ARRETE'
 */
export function wordKey(word: string): string {
  if (/^[A-Za-z0-9]+$/.test(word)) return word.toUpperCase()
  return word
    .toLocaleUpperCase('en')
    .normalize('NFD')
    .replace(ACCENTS, '')
    .replace(TWIN_LETTERS, (letter) => TWINS[letter] ?? letter)
    .normalize('NFC')
}
