import { mustBeValid } from '../../src/core/checked-data.ts'
import { formatDay, mustParseDay } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import { checkKeywordBook } from '../../src/core/reading/keyword-book.ts'
import type { KeywordBook } from '../../src/core/reading/keyword-book.ts'
import type { ReadContext } from '../../src/core/reading/read-context.ts'
import { read } from '../../src/core/reading/read.ts'
import { buildVocabulary } from '../../src/core/reading/vocabulary.ts'
import type { Vocabulary, VocabularyOptions } from '../../src/core/reading/vocabulary.ts'
import { listDataFiles, readDataFile } from '../../src/platform/data-files.ts'

/** Texts read with the keyword books as they ship. */

export const keywordBooks: readonly KeywordBook[] = listDataFiles('keywords').map((file) =>
  mustBeValid(checkKeywordBook(readDataFile(`keywords/${file}.json`))),
)

export const languages = keywordBooks.map((book) => book.language)

export function keywordBook(language: string): KeywordBook {
  const found = keywordBooks.find((book) => book.language === language)
  if (found === undefined) throw new Error(`no keyword book for ${language}`)
  return found
}

const built = new Map<string, Vocabulary>()

/** The words of a district with these languages, built once. */
export function vocabularyOf(options: VocabularyOptions): Vocabulary {
  const key = JSON.stringify(options)
  const known = built.get(key) ?? buildVocabulary(keywordBooks, options)
  built.set(key, known)
  return known
}

/** How a text is to be read; a Tuesday in an English-speaking district where nothing else is said. */
export interface Reader extends Partial<Omit<ReadContext, 'on' | 'vocabulary'>>, Partial<VocabularyOptions> {
  readonly on?: string
}

export function aContext(reader: Reader = {}): ReadContext {
  const { on = '2026-11-24', language = 'en', languages: others = [], calendar, vaccines, ...rest } = reader
  const vocabulary = vocabularyOf({
    languages: [language, ...others],
    ...(calendar === undefined ? {} : { calendar }),
    ...(vaccines === undefined ? {} : { vaccines }),
  })
  return {
    from: 'vaccinator',
    region: 'GB',
    isDayFirst: true,
    ...rest,
    on: mustParseDay(on),
    language,
    vocabulary,
  }
}

const DAY_FIELDS = ['date', 'birthDate', 'expiry', 'until']

/** What a text is read as, with its days as ISO text. */
export function reading(text: string, reader: Reader = {}): Record<string, unknown> {
  return withIsoDays(read(text, aContext(reader)))
}

function withIsoDays(value: object): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(value).map(([field, inner]: [string, unknown]) => [field, shown(field, inner)]),
  )
}

function shown(field: string, inner: unknown): unknown {
  // Fields of these names hold days.
  if (DAY_FIELDS.includes(field) && typeof inner === 'number') return formatDay(inner as Day)
  if (field === 'acts' && Array.isArray(inner)) return inner.map((act: object) => withIsoDays(act))
  return field === 'understood' ? withIsoDays(inner as object) : inner
}
