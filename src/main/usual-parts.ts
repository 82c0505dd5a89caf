import type { ReminderKind } from '../core/reminders/policy.ts'
import { sayAftercare } from '../core/texts/aftercare.ts'
import { say } from '../core/texts/phrases.ts'
import { measure } from '../core/texts/segments.ts'
import { readPhraseBooks } from './phrase-books.ts'

/** A child, a post and a day of usual length. */
const USUAL = { post: 'Portello', child: 'Bastien', count: 1, place: 'Pontisse', day: 'Mon 30 Mar' }

/** The parts of a usual English text of each kind: what a text costs. */
export function usualParts(): Readonly<Record<ReminderKind, number>> {
  const book = readPhraseBooks().get('en')
  if (book === undefined) throw new Error('the English phrase book is missing')
  const parts = (text: string): number => measure(text, book.route).parts
  const next = { day: USUAL.day, place: USUAL.place }
  return {
    ahead: parts(say(book, 'reminder-ahead', USUAL)),
    eve: parts(say(book, 'reminder-eve', USUAL)),
    'missed-1': parts(say(book, 'reminder-missed-1', USUAL)),
    'missed-2': parts(say(book, 'reminder-missed-2', USUAL)),
    aftercare: parts(sayAftercare(book, { ...USUAL, causes: new Set(['injection', 'drops']), next })),
  }
}
