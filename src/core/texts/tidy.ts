import { DEFAULT_CODEC } from './gsm7.ts'
import { codecsFor, measure } from './segments.ts'
import type { Route } from './segments.ts'

/** Typographic signs and the plain ones people type instead. */
const PLAIN_SIGNS: readonly (readonly [RegExp, string])[] = [
  [/[\u2018\u2019\u201A\u201B\u2032\u2039\u203A\u02BB\u02BC\u0060\u00B4]/gu, "'"],
  [/[\u201C\u201D\u201E\u201F\u2033\u00AB\u00BB]/gu, '"'],
  [/[\u2010-\u2015\u2212\u2022\u00B7]/gu, '-'],
  [/\u2026/gu, '...'],
  [/[\t\u00A0\u2000-\u200A\u202F\u205F\u3000]/gu, ' '],
  [/[\u2028\u2029]/gu, '\n'],
  [/[\u00AD\u200B-\u200F\u202A-\u202E\u2060-\u2064\u2066-\u2069\uFEFF]/gu, ''],
]

/** Letters that do not come apart into a base and a mark. */
const PLAIN_LETTERS: Readonly<Record<string, string>> = {
  œ: 'oe',
  Œ: 'OE',
  ı: 'i',
  ł: 'l',
  Ł: 'L',
  đ: 'd',
  Đ: 'D',
}

/** Leaves off the accents that the default alphabet lacks: "não" becomes "nao", "é" stays. */
export function dropAccents(text: string): string {
  return Array.from(text, (character) => {
    if (DEFAULT_CODEC.codes.has(character)) return character
    return PLAIN_LETTERS[character] ?? character.normalize('NFD').replace(/\p{M}/gu, '')
  }).join('')
}

/** A text with plain quotes, dashes and spaces, and composed letters. */
function withPlainSigns(text: string): string {
  return PLAIN_SIGNS.reduce((plain, [signs, sign]) => plain.replace(signs, sign), text).normalize('NFC')
}

export interface TidyOptions extends Route {
  /** Whether accents may go too; default `keep`. */
  readonly accents?: 'keep' | 'drop'
}

/**
 * Makes a text plain where that, and only that, keeps it out of UCS-2; any other text comes back as it was. Where
 * national tables keep it out as well, the way with the fewest parts wins.
 * @example tidy('it’s time') // "it's time"
 */
export function tidy(text: string, options: TidyOptions = {}): string {
  const plain = withPlainSigns(text)
  const wordings = new Set([text, plain, options.accents === 'drop' ? dropAccents(plain) : plain])
  const [first, ...others] = [...wordings].filter((wording) => codecsFor(wording, options).length > 0)
  if (first === undefined) return text
  const partsOf = (wording: string): number => measure(wording, options).parts
  return others.reduce((best, next) => (partsOf(next) < partsOf(best) ? next : best), first)
}
