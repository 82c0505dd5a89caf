import type { Refusal, RefusalCode } from '../../core/refusals.ts'
import { isPhraseKey } from '../../core/texts/catalogue/phrases.ts'
import type { TextErrorCode } from '../../core/texts/catalogue/phrases.ts'
import { isTextErrorCode, render, say, sayError } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'

/** Refusals that a text words like another problem. */
const WORDED_AS: Partial<Record<RefusalCode, TextErrorCode>> = {
  'village-not-found': 'village-unknown',
  'dose-in-future': 'date-future',
  'birth-in-future': 'date-future',
  'birth-too-long-ago': 'date-impossible',
  'vial-not-found': 'vial-unknown',
  'discard-reason-missing': 'reason-missing',
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
  if (code === 'vial-already-discarded') return say(book, 'vial-stop-discarded')
  if (code === 'vial-unfit') return sayStop(book, facts['reason'])
  return detail
}

/** Why a vial is not to be used, and what to do with it. */
function sayStop(book: PhraseBook, reason: unknown): string {
  const key = `vial-stop-${String(reason)}`
  return isPhraseKey(key) ? render(book, key, {}) : say(book, 'vial-stop-discarded')
}
