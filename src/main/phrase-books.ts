import { mustBeValid } from '../core/checked-data.ts'
import { checkKeywordBook } from '../core/reading/keyword-book.ts'
import { parsePhraseBook } from '../core/texts/phrase-book.ts'
import type { PhraseBook } from '../core/texts/phrases.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'

/** The phrase books of src/data/phrases, by language; a broken file is a fault of the release and throws. */
export function readPhraseBooks(): ReadonlyMap<string, PhraseBook> {
  const books = listDataFiles('phrases').map((file) => {
    const keywords = mustBeValid(checkKeywordBook(readDataFile(`keywords/${file}.json`)))
    return mustBeValid(parsePhraseBook(readDataFile(`phrases/${file}.json`), keywords))
  })
  return new Map(books.map((book) => [book.language, book]))
}
