import type { Refusal, RefusalCode } from '../../core/refusals.ts'
import type { TextErrorCode } from '../../core/texts/catalogue/phrases.ts'
import { isTextErrorCode, say, sayError } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'

/** Refusals that a text words like another problem. */
const WORDED_AS: Partial<Record<RefusalCode, TextErrorCode>> = {
  'village-not-found': 'village-unknown',
  'dose-in-future': 'date-future',
  'birth-in-future': 'date-future',
  'birth-too-long-ago': 'date-impossible',
}

/** A refusal as a text: its own phrase where there is one, else its sentence. */
export function sayRefusal(
  book: PhraseBook,
  { code, detail, facts }: Refusal,
  choices: readonly string[] = [],
): string {
  const word = typeof facts['word'] === 'string' ? facts['word'] : null
  const worded = WORDED_AS[code] ?? code
  if (isTextErrorCode(worded)) return sayError(book, worded, { word, choices })
  if (code === 'child-closed') return say(book, 'card-closed')
  if (code === 'nothing-due') return say(book, 'nothing-due')
  return detail
}
