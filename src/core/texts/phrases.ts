import type { IntlMessageFormat } from 'intl-messageformat'
import { isPhraseKey } from './catalogue/phrases.ts'
import type { PhraseKey, PhraseValues, TextErrorCode } from './catalogue/phrases.ts'
import type { Word } from './catalogue/placeholders.ts'
import type { Alphabet, Route } from './segments.ts'
import { tidy } from './tidy.ts'

/** Every phrase in one language, ready to say. */
export interface PhraseBook {
  /** BCP 47 code. */
  readonly language: string
  /** The language's name in itself. */
  readonly name: string
  /** The alphabet its texts are written for. */
  readonly alphabet: Alphabet
  /** False until a native speaker has read it. */
  readonly isReviewed: boolean
  /** The words people send, as this language teaches them. */
  readonly words: Readonly<Record<Word, string>>
  /** The ICU text of each phrase. */
  readonly texts: ReadonlyMap<PhraseKey, string>
  readonly messages: ReadonlyMap<PhraseKey, IntlMessageFormat>
  /** What the way to the phones can carry; national tables keep accents. */
  readonly route: Route
}

/** Nothing where a phrase leaves nothing open. */
type SayArguments<Key extends PhraseKey> = keyof PhraseValues<Key> extends never
  ? []
  : [values: PhraseValues<Key>]

/**
 * A phrase as it is sent: filled in, and plain where that keeps it out of UCS-2.
 * @example say(book, 'due-none', { place: 'Mbari', day: 'Tue 24 Nov' })
 */
export function say<Key extends PhraseKey>(
  book: PhraseBook,
  key: Key,
  ...[values]: SayArguments<Key>
): string {
  return render(book, key, values ?? {})
}

/** `say` for values that come from elsewhere than the catalogue's types: samples, parts of an error. */
export function render(
  book: PhraseBook,
  key: PhraseKey,
  values: Readonly<Record<string, string | number>>,
): string {
  const message = book.messages.get(key)
  if (message === undefined) throw new Error(`the ${book.language} phrase book lacks ${key}`)
  return tidy(String(message.format({ ...book.words, ...values })), { ...book.route, accents: 'drop' })
}

/** What is known of a text that could not be taken. */
export interface TextErrorFacts {
  /** The part that was wrong. */
  readonly word?: string | null
  /** What was understood: "GAVE, BOPV"; empty for nothing. */
  readonly understood?: string
  /** Up to two texts, each ready to send. */
  readonly choices?: readonly string[]
}

/**
 * A reply to a text that could not be taken: what is wrong, what was understood, what to send. Two choices show by
 * themselves what was understood.
 */
export function sayError(book: PhraseBook, code: TextErrorCode, facts: TextErrorFacts = {}): string {
  const { word, understood = '', choices = [] } = facts
  const problem = render(book, `error-${code}`, { word: word ?? '' })
  const [first, second] = choices
  if (first !== undefined && second !== undefined)
    return `${problem} ${say(book, 'to-choose', { first, second })}`
  return [
    problem,
    ...(understood === '' ? [] : [say(book, 'understood', { understood })]),
    ...(first === undefined ? [] : [say(book, 'to-send', { first })]),
  ].join(' ')
}

/** Whether a code has an error phrase. */
export function isTextErrorCode(code: string): code is TextErrorCode {
  return isPhraseKey(`error-${code}`)
}
