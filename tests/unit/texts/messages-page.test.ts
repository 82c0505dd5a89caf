import { readFileSync } from 'node:fs'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { sayAftercare } from '../../../src/core/texts/aftercare.ts'
import type { AftercareCause } from '../../../src/core/texts/aftercare.ts'
import { say } from '../../../src/core/texts/phrases.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { sayDay } from '../../../src/core/texts/say-day.ts'
import { measure } from '../../../src/core/texts/segments.ts'
import { readPhraseBooks } from '../../../src/main/phrase-books.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'

/** The rows of docs/messages.md's tables, by their first cell, in order. */
const rows = readFileSync('docs/messages.md', 'utf8')
  .split('\n')
  .filter((line) => line.startsWith('|'))
  .map((line) => line.split('|').map((cell) => cell.trim()))
const rowsOf = (language: string): string[][] =>
  rows.filter((cells) => cells[1] === language).map((cells) => cells.slice(2, -1))

const books = [...readPhraseBooks().values()].map((book) => [book.language, book] as const)

function partsAfter(book: PhraseBook, causes: readonly AftercareCause[]): number {
  const calendar = 'gregory'
  const day = sayDay(mustParseDay('2026-11-24'), { language: book.language, calendar, hours: '09:00-13:00' })
  const visit = { post: 'Mbari Health Post', child: 'Asha', count: 1, day, place: 'Mbari School' }
  if (causes.length === 0) return measure(say(book, 'reminder-ahead', visit)).parts
  return measure(sayAftercare(book, { ...visit, causes: new Set(causes), next: visit })).parts
}

describe('docs/messages.md', () => {
  test.each(books)('tells name, alphabet and review of %s', (language, book) => {
    const { review } = readDataFile(`phrases/${language}.json`) as { review: string }

    expect(rowsOf(language)[0]).toEqual([book.name, book.alphabet, review])
  })

  test.each(books)('tells what a visit costs in %s', (language, book) => {
    const parts = [
      partsAfter(book, []),
      partsAfter(book, ['drops']),
      partsAfter(book, ['injection', 'drops']),
      partsAfter(book, ['injection', 'intradermal', 'drops']),
      partsAfter(book, ['bcg', 'injection', 'drops']),
    ]

    expect(rowsOf(language)[1]).toEqual(parts.map(String))
  })
})
