import type { PhoneLine } from '../../core/model.ts'
import { sayCare } from '../../core/texts/aftercare.ts'
import { bookFor } from '../shelf.ts'
import type { DistrictScope } from './district-scope.ts'

/** The advice that families get, as the family of a card reads it: the same words that a clinician signs. */
export function careWords(
  { deps, district }: DistrictScope,
  [line]: readonly PhoneLine[],
): { readonly language: string; readonly words: string } {
  const book = bookFor(deps.shelf, district, line?.language ?? district.languages[0] ?? 'en')
  return { language: book.language, words: sayCare(book, new Set(['injection', 'intradermal', 'bcg'])) }
}
