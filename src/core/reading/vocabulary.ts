import type { ActName, Reason, VisitOutcome } from './act.ts'
import { monthNames, weekdayNames } from './calendar-date.ts'
import type { MonthName } from './calendar-date.ts'
import type { KeywordBook } from './keyword-book.ts'
import { phraseTable } from './phrase-table.ts'
import type { PhraseTable } from './phrase-table.ts'
import { tokensOf } from './token.ts'
import type { Sex } from '../model.ts'

const MARKS = [
  'all',
  'vial',
  'fridge',
  'labels',
  'noPhone',
  'birthDose',
  'vials',
  'doses',
  'takenOut',
  'broughtBack',
  'lot',
] as const satisfies readonly (keyof KeywordBook['words'])[]

/** Words that mark what stands beside them. */
export type Mark = (typeof MARKS)[number]

/** "# days ago", as keys around the number. */
export interface AgoPattern {
  readonly before: readonly string[]
  readonly after: readonly string[]
}

/** All words a district's texts are read by: its languages and English together. */
export interface Vocabulary {
  /** Every book by its language, for writing. */
  readonly books: ReadonlyMap<string, KeywordBook>
  readonly english: KeywordBook
  /** The calendar in which dates without a month name are read. */
  readonly calendar: string
  readonly acts: PhraseTable<ActName>
  /** Vaccine names; one that several vaccines share has them all as meanings. */
  readonly vaccines: PhraseTable<string>
  /** Vaccines of the district's schedule, where known: they settle a shared name. */
  readonly inSchedule: ReadonlySet<string>
  readonly marks: Readonly<Record<Mark, PhraseTable<true>>>
  readonly sexes: PhraseTable<Sex>
  readonly days: PhraseTable<number>
  readonly daysAgo: readonly AgoPattern[]
  readonly weekdays: PhraseTable<number>
  readonly besideWeekday: PhraseTable<'last' | 'next'>
  readonly months: PhraseTable<MonthName>
  readonly outcomes: PhraseTable<VisitOutcome>
  readonly reasons: PhraseTable<Reason>
  /** Topics of HELP and the English keyword of each act. */
  readonly topics: PhraseTable<string>
  /** Names of all languages that have a book, and their codes behind the word for "language". */
  readonly languageNames: PhraseTable<string>
  readonly languageCodes: ReadonlySet<string>
  /** Fillers, greetings and thanks. */
  readonly fillers: PhraseTable<true>
  readonly polite: PhraseTable<true>
  readonly closings: PhraseTable<true>
}

/** What a district's words depend on. */
export interface VocabularyOptions {
  /** Languages of the district; English is always read as well. */
  readonly languages: readonly string[]
  readonly calendar?: string
  /** Vaccine codes of the schedule in use. */
  readonly vaccines?: readonly string[]
  /** Vaccines by names that a national schedule brings with it. */
  readonly named?: readonly NamedVaccine[]
}

/** A vaccine and what people write for it. */
export interface NamedVaccine {
  readonly code: string
  readonly words: readonly string[]
}

type Entry<T> = readonly [phrase: string, meaning: T]

function meant<T>(phrases: readonly string[], meaning: T): Entry<T>[] {
  return phrases.map((phrase): Entry<T> => [phrase, meaning])
}

/** Entries of a record whose keys are a union. */
function entriesOf<K extends string, V>(record: Readonly<Record<K, V>>): [K, V][] {
  // Object.entries forgets the type of the keys.
  return Object.entries(record) as [K, V][]
}

function agoPattern(text: string): AgoPattern {
  const [before = '', after = ''] = text.split('#')
  const keys = (part: string): string[] => tokensOf(part).map((token) => token.key)
  return { before: keys(before), after: keys(after) }
}

/** Vaccines of the district's own schedule, by code and by the names it brings. */
function ownVaccines({ vaccines = [], named = [] }: VocabularyOptions): Entry<string>[] {
  const coded = vaccines.map((code) => ({ code, words: [code] }))
  return [...coded, ...named].flatMap(({ code, words }) => meant(words, code))
}

/** Builds the tables once for a district; `books` are all there are. */
export function buildVocabulary(books: readonly KeywordBook[], options: VocabularyOptions): Vocabulary {
  const { languages, calendar = 'gregory', vaccines = [] } = options
  const read = books.filter(({ language }) => language === 'en' || languages.includes(language))
  const english = books.find(({ language }) => language === 'en')
  if (english === undefined) throw new Error('the English keyword book is missing')
  const table = <T>(entries: (book: KeywordBook) => readonly Entry<T>[]): PhraseTable<T> =>
    phraseTable(read.flatMap(entries))
  const record = <K extends string>(
    pick: (book: KeywordBook) => Readonly<Record<K, readonly string[]>>,
  ): PhraseTable<K> =>
    table((book) => entriesOf(pick(book)).flatMap(([meaning, phrases]) => meant(phrases, meaning)))
  const mark = (pick: (words: KeywordBook['words']) => readonly string[]): PhraseTable<true> =>
    table(({ words }) => meant(pick(words), true))
  const calendars = new Set(['gregory', calendar])

  return {
    books: new Map(books.map((book) => [book.language, book])),
    english,
    calendar,
    acts: record(({ acts }) => acts),
    vaccines: phraseTable([
      ...ownVaccines(options),
      ...read.flatMap((book) => entriesOf(book.vaccines).flatMap(([code, names]) => meant(names, code))),
    ]),
    inSchedule: new Set(vaccines),
    // Each name of the list has its table.
    marks: Object.fromEntries(
      MARKS.map((name) => [name, mark((words) => words[name])]),
    ) as Vocabulary['marks'],
    sexes: record(({ words: { female, male } }) => ({ female, male })),
    days: table(({ days }) => entriesOf(days).flatMap(([away, phrases]) => meant(phrases, Number(away)))),
    daysAgo: read.flatMap(({ daysAgo }) => daysAgo.map(agoPattern)),
    weekdays: table(({ locales, weekdays }) => [
      ...locales.flatMap(weekdayNames),
      ...Object.entries(weekdays).flatMap(([weekday, names]) => meant(names, Number(weekday))),
    ]),
    besideWeekday: record(({ last, next }) => ({ last, next })),
    months: table(({ locales }) =>
      locales.flatMap((locale) => [...calendars].flatMap((each) => monthNames(locale, each))),
    ),
    outcomes: record(({ outcomes }) => outcomes),
    reasons: record(({ reasons }) => reasons),
    topics: phraseTable([
      ...read.flatMap(({ topics }) => entriesOf(topics).flatMap(([topic, names]) => meant(names, topic))),
      ...read.flatMap(({ acts }) =>
        entriesOf(acts).flatMap(([act, words]) => meant(words, english.acts[act][0] ?? '')),
      ),
    ]),
    languageNames: phraseTable(books.flatMap(({ names, language }) => meant(names, language))),
    languageCodes: new Set(books.map(({ language }) => language)),
    fillers: table(({ fillers, polite }) => meant([...fillers, ...polite], true)),
    polite: table(({ polite }) => meant(polite, true)),
    closings: table(({ closings }) => meant(closings, true)),
  }
}

/** The words of a language, for writing; English where it has no book. */
export function bookOf({ books, english }: Vocabulary, language: string): KeywordBook {
  return books.get(language) ?? english
}
