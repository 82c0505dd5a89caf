import type { Shelf } from '../app/shelf.ts'
import { mustBeValid } from '../core/checked-data.ts'
import { checkKeywordBook } from '../core/reading/keyword-book.ts'
import type { KeywordBook } from '../core/reading/keyword-book.ts'
import { buildVocabulary } from '../core/reading/vocabulary.ts'
import type { Vocabulary } from '../core/reading/vocabulary.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'

/** The keyword books of src/data/keywords; a broken file is a fault of the release and throws. */
export function readKeywordBooks(): readonly KeywordBook[] {
  return listDataFiles('keywords').map((file) =>
    mustBeValid(checkKeywordBook(readDataFile(`keywords/${file}.json`))),
  )
}

/** Builds the vocabulary of each kind of district once. */
export function readVocabularies(): Shelf['vocabularyOf'] {
  const books = readKeywordBooks()
  const built = new Map<string, Vocabulary>()
  return ({ languages, calendar }, vaccines) => {
    const key = JSON.stringify([calendar, languages, vaccines])
    const known = built.get(key)
    if (known !== undefined) return known
    // Names that the keyword books have are theirs to explain.
    const named = vaccines.filter(({ code }) => !books.some((book) => code in book.vaccines))
    const codes = vaccines.map(({ code }) => code)
    const made = buildVocabulary(books, { languages, calendar, vaccines: codes, named })
    built.set(key, made)
    return made
  }
}
