import type { Command } from 'commander'
import { z } from 'zod'
import { formatDay, mustParseDay } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { isReadProblem } from '../../core/reading/act.ts'
import type { Act } from '../../core/reading/act.ts'
import type { KeywordBook } from '../../core/reading/keyword-book.ts'
import { read } from '../../core/reading/read.ts'
import { sayProblem } from '../../core/reading/say-problem.ts'
import type { Wording } from '../../core/reading/say-problem.ts'
import { buildVocabulary } from '../../core/reading/vocabulary.ts'
import type { Vocabulary } from '../../core/reading/vocabulary.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { answerLines, LineProblem } from '../ndjson.ts'
import { readPhraseBooks } from '../phrase-books.ts'
import { readKeywordBooks } from '../vocabularies.ts'

const Line = z.object({
  id: z.unknown(),
  from: z.enum(['vaccinator', 'manager', 'parent']),
  on: z.iso.date().transform(mustParseDay),
  text: z.string(),
  language: z.string().default('en'),
  /** The other languages of the district. */
  languages: z.array(z.string()).default([]),
  region: z.string().default('GB'),
  calendar: z.enum(['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist']).default('gregory'),
  dayFirst: z.boolean().default(true),
  villages: z.array(z.string()).optional(),
  /** The vaccines of the schedule in use. */
  vaccines: z.array(z.string()).default([]),
})
type Line = z.infer<typeof Line>

interface Books {
  readonly keywords: readonly KeywordBook[]
  readonly phrases: ReadonlyMap<string, PhraseBook>
  /** By what it was built for. */
  readonly vocabularies: Map<string, Vocabulary>
}

/** `duebell read`: what texts mean, with no database. */
export function addReadCommand(program: Command): void {
  program
    .command('read')
    .description('Tells what texts mean and what to send instead: JSON lines in, JSON lines out.')
    .action(async () => {
      const books = {
        keywords: readKeywordBooks(),
        phrases: readPhraseBooks(),
        vocabularies: new Map<string, Vocabulary>(),
      }
      await answerLines(process.stdin, process.stdout, (value) => answer(value, books))
    })
}

function answer(value: unknown, books: Books): unknown {
  const line = Line.safeParse(value)
  if (!line.success) throw new LineProblem('input-invalid', z.prettifyError(line.error))
  const { id, from, on, text, language, region, dayFirst, villages } = line.data
  const vocabulary = vocabularyFor(line.data, books)
  const reading = read(text, { from, on, vocabulary, language, region, isDayFirst: dayFirst, villages })
  if (!isReadProblem(reading)) return { id: id ?? null, ...withIsoDays(reading) }
  throw new LineProblem(reading.code, sayProblem(reading, wordingOf(language, books)))
}

function vocabularyFor({ language, languages, calendar, vaccines }: Line, books: Books): Vocabulary {
  const key = JSON.stringify([language, languages, calendar, vaccines])
  const known = books.vocabularies.get(key)
  if (known !== undefined) return known
  const made = buildVocabulary(books.keywords, { languages: [language, ...languages], calendar, vaccines })
  books.vocabularies.set(key, made)
  return made
}

/** The books of a language, or the English ones. */
function wordingOf(language: string, { phrases, keywords }: Books): Wording {
  const inLanguage = wordingIn(language, phrases, keywords) ?? wordingIn('en', phrases, keywords)
  if (inLanguage === undefined) throw new Error('the English books are missing')
  return inLanguage
}

function wordingIn(
  language: string,
  phraseBooks: Books['phrases'],
  keywordBooks: Books['keywords'],
): Wording | undefined {
  const phrases = phraseBooks.get(language)
  const keywords = keywordBooks.find((book) => book.language === language)
  return phrases === undefined || keywords === undefined ? undefined : { phrases, keywords }
}

const DAY_FIELDS: ReadonlySet<string> = new Set(['date', 'birthDate', 'expiry', 'until'])

/** An act as JSON shows it: days as ISO text. */
function withIsoDays(act: Act): object {
  if (act.act === 'several') return { act: act.act, acts: act.acts.map(withIsoDays) }
  return Object.fromEntries(
    Object.entries(act).map(([field, value]: [string, unknown]) => [
      field,
      // Fields of these names are days in every act.
      DAY_FIELDS.has(field) && value !== null ? formatDay(value as Day) : value,
    ]),
  )
}
