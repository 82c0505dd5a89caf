import type { Refusal } from '../../core/refusals.ts'
import { isTextErrorCode, sayError } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'

/** A refusal as a text: its own phrase where there is one, else its sentence. */
export function sayRefusal(
  book: PhraseBook,
  { code, detail, facts }: Refusal,
  choices: readonly string[] = [],
): string {
  const word = typeof facts['word'] === 'string' ? facts['word'] : null
  return isTextErrorCode(code) ? sayError(book, code, { word, choices }) : detail
}
