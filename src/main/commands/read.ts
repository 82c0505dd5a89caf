import type { Command } from 'commander'
import { z } from 'zod'
import { formatDay, mustParseDay } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { isReadProblem } from '../../core/reading/act.ts'
import type { Act, ReadProblem } from '../../core/reading/act.ts'
import type { KeywordBook } from '../../core/reading/keyword-book.ts'
import type { ReadContext } from '../../core/reading/read-context.ts'
import { read } from '../../core/reading/read.ts'
import { sayProblem } from '../../core/reading/say-problem.ts'
import { bookOf, buildVocabulary } from '../../core/reading/vocabulary.ts'
import type { Vocabulary } from '../../core/reading/vocabulary.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { answerLines, LineProblem, provenLine } from '../ndjson.ts'
import { readPhraseBooks } from '../phrase-books.ts'
import { readKeywordBooks } from '../vocabularies.ts'

const Line = z.object({
  id: z.unknown().optional(),
  from: z.enum(['vaccinator', 'manager', 'parent'], 'write vaccinator, manager or parent'),
  on: z.iso.date('write a day like 2026-01-31').transform(mustParseDay),
  text: z.string('write the text to read'),
  language: z.string().nullish(),
  /** The other languages of the district. */
  languages: z.array(z.string()).nullish(),
  region: z.string().nullish(),
  calendar: z.enum(['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist']).nullish(),
  dayFirst: z.boolean().nullish(),
  villages: z.array(z.string()).nullish(),
  /** The vaccines of the schedule in use. */
  vaccines: z.array(z.string()).nullish(),
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
  const line = provenLine(Line, value)
  const context = contextOf(line, books)
  const reading = read(line.text, context)
  if (isReadProblem(reading)) throw new LineProblem(reading.code, wordsFor(reading, context, books))
  return { id: line.id ?? null, ...withIsoDays(reading) }
}

function contextOf(line: Line, books: Books): ReadContext {
  const { from, on, region, dayFirst, villages } = line
  return {
    from,
    on,
    vocabulary: vocabularyFor(line, books),
    language: line.language ?? 'en',
    region: region ?? 'GB',
    isDayFirst: dayFirst ?? true,
    villages: villages ?? undefined,
  }
}

function vocabularyFor({ language, languages, calendar, vaccines }: Line, books: Books): Vocabulary {
  const options = {
    languages: [language ?? 'en', ...(languages ?? [])],
    calendar: calendar ?? 'gregory',
    vaccines: vaccines ?? [],
  }
  const key = JSON.stringify(options)
  const known = books.vocabularies.get(key)
  if (known !== undefined) return known
  const made = buildVocabulary(books.keywords, options)
  books.vocabularies.set(key, made)
  return made
}

/** What to send instead, in the sender's language or in English. */
function wordsFor(
  problem: ReadProblem,
  { vocabulary, language, on }: ReadContext,
  { phrases }: Books,
): string {
  const phraseBook = phrases.get(language) ?? phrases.get('en')
  if (phraseBook === undefined) throw new Error('the English phrase book is missing')
  return sayProblem(problem, { phrases: phraseBook, keywords: bookOf(vocabulary, language), today: on })
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
