import { asciiDigits, wordKey } from '../reading/clean-text.ts'

/** A text without the PIN in it. */
export interface MaskedText {
  readonly body: string
  /** The digits that stood behind the word PIN, groups parted by spaces; `null` where there were none. */
  readonly pin: string | null
}

/** A word and the groups of digits behind it on its line: PIN 4821, PIN: 481922 4821. A date is none. */
const WORD_AND_DIGITS =
  /(?<![\p{L}\p{M}])([\p{L}\p{M}]+)[^\S\n]*[:=.#-]?[^\S\n]*(\p{Nd}{3,7}(?![\p{Nd}\p{L}/])(?:[^\S\n.,*#-]*(?:[.,*#-]|[^\S\n])[^\S\n]*\p{Nd}{3,7}(?![\p{Nd}\p{L}/]))*)/gu
const DIGITS = /\p{Nd}+/gu
const MASK = 'PIN'

/**
 * Takes the PIN out of a text before anyone stores it. Of several words PIN the last one counts.
 * @param pinWords the word in every language, as `wordKey` has it
 * @example takePin('UNDO PIN 4821', new Set(['PIN'])) // { body: 'UNDO PIN ****', pin: '4821' }
 */
export function takePin(body: string, pinWords: ReadonlySet<string>): MaskedText {
  let pin: string | null = null
  const masked = body.replace(WORD_AND_DIGITS, (all: string, word: string, digits: string) => {
    if (!pinWords.has(wordKey(word))) return all
    const groups = digits.match(DIGITS) ?? []
    pin = groups.map(asciiDigits).join(' ')
    return [MASK, ...groups.map(() => '****')].join(' ')
  })
  return { body: masked, pin }
}

/** What a masked text says besides its PIN; only the word where it says nothing else. */
export function withoutPin(body: string): string {
  const rest = body.replace(/PIN(?: \*{4})+/g, '').trim()
  return rest === '' && body.trim() !== '' ? MASK : rest
}
