import { parsePhraseBook } from '../core/texts/phrase-book.ts'
import type { PhraseProblem } from '../core/texts/phrase-book.ts'
import type { PhraseBook } from '../core/texts/phrases.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'

/** The phrase books of src/data/phrases, by language. A broken file is a fault of the release, and throws. */
export function readPhraseBooks(): ReadonlyMap<string, PhraseBook> {
  return new Map(
    listDataFiles('phrases').map((file) => {
      const result = parsePhraseBook(readDataFile(`phrases/${file}.json`))
      if (result.kind === 'problems') throw new Error(`phrases/${file}.json: ${describe(result.problems)}`)
      return [result.book.language, result.book]
    }),
  )
}

function describe(problems: readonly PhraseProblem[]): string {
  return problems.map(({ key, detail }) => `${key}: ${detail}`).join('; ')
}
