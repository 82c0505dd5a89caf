import { formatCardNumber } from '../../core/card-number.ts'
import type { PlannedDose } from '../../core/model.ts'
import type { ChildNaming } from '../../core/texts/child-label.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import { say } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { vaccinesInWords } from './talk.ts'

export interface ListedChild {
  readonly cardNumber: string
  readonly name: string
  readonly doses: readonly PlannedDose[]
  /** An earlier reaction: the worker asks before the next dose. */
  readonly isFlagged?: boolean
}

export interface List {
  /** Stands above the first page. */
  readonly head: string
  readonly children: readonly ListedChild[]
  /** How they are called. */
  readonly naming: ChildNaming
  /** Lines a text holds. */
  readonly lines: number
  /** Counted from 0. */
  readonly page: number
}

/** One page of a list of children as a text; the children beyond it are counted and can be asked for. */
export function listText(book: PhraseBook, { head, children, naming, lines, page }: List): string {
  const from = page * lines
  const shown = children.slice(from, from + lines)
  if (shown.length === 0) return say(book, 'list-end')
  const rest = children.length - from - shown.length
  return [
    ...(page === 0 ? [head] : []),
    ...shown.map((child) => lineOf(book, naming, child)),
    ...(shown.some(({ isFlagged }) => isFlagged === true) ? [say(book, 'list-flagged')] : []),
    ...(rest > 0 ? [say(book, 'list-more', { count: rest })] : []),
  ].join('\n')
}

function lineOf(
  book: PhraseBook,
  naming: ChildNaming,
  { cardNumber, name, doses, isFlagged = false }: ListedChild,
): string {
  const line = say(book, 'list-line', {
    card: formatCardNumber(cardNumber),
    child: labelChild(name, naming),
    doses: vaccinesInWords(doses),
  })
  return isFlagged ? `${line} !` : line
}
