import { mustBeValid } from '../core/checked-data.ts'
import { parsePhraseBook } from '../core/texts/phrase-book.ts'
import type { PhraseBook } from '../core/texts/phrases.ts'
import { readDataFile } from '../platform/data-files.ts'
import { readKeywordBooks } from './vocabularies.ts'

/** The phrase books of src/data/phrases, by language; a broken file is a fault of the release and throws. */
export function readPhraseBooks(): ReadonlyMap<string, PhraseBook> {
  const books = readKeywordBooks().map((keywords) =>
    mustBeValid(parsePhraseBook(readDataFile(`phrases/${keywords.language}.json`), keywords)),
  )
  return new Map(books.map((book) => [book.language, book]))
}
