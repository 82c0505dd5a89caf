import { say } from './phrases.ts'
import type { PhraseBook } from './phrases.ts'

/** How a vaccine was given, as far as a parent will notice. `bcg` and `intradermal` leave a mark on the skin. */
export type AftercareCause = 'injection' | 'intradermal' | 'bcg' | 'drops'

export interface AftercareFacts {
  readonly post: string
  readonly child: string
  readonly count: number
  /** What was given at the visit. */
  readonly causes: ReadonlySet<AftercareCause>
  /** The next visit in words; `null` when none is planned. */
  readonly next: { readonly day: string; readonly place: string } | null
}

/**
 * What a parent is told after a visit: what is normal for what was given, where to go for anything else, what is
 * urgent, and when to come again.
 */
export function sayAftercare(book: PhraseBook, facts: AftercareFacts): string {
  const { post, child, count, causes, next } = facts
  return [
    say(book, 'aftercare-opening', { post, child, count }),
    sayCare(book, causes),
    next === null ? say(book, 'aftercare-last') : say(book, 'aftercare-next', next),
  ].join(' ')
}

/** What is normal for what was given, where to go for anything else, and what is urgent. */
export function sayCare(book: PhraseBook, causes: ReadonlySet<AftercareCause>): string {
  const isInjected = causes.has('injection') || causes.has('intradermal')
  return [
    ...(isInjected ? [say(book, 'aftercare-injection')] : []),
    ...(causes.has('intradermal') ? [say(book, 'aftercare-bump')] : []),
    ...(causes.has('bcg') ? [say(book, 'aftercare-sore')] : []),
    ...(causes.size === 1 && causes.has('drops') ? [say(book, 'aftercare-drops')] : []),
    say(book, 'aftercare-closing'),
    say(book, 'aftercare-urgent'),
  ].join(' ')
}
