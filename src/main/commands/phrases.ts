import { type Command, InvalidArgumentError, Option } from 'commander'
import { stringify } from 'csv-stringify/sync'
import { Refusal } from '../../core/refusals.ts'
import { PHRASES } from '../../core/texts/catalogue/phrases.ts'
import type { PhraseKind } from '../../core/texts/catalogue/placeholders.ts'
import { checkPhraseBook, phraseLengths } from '../../core/texts/check-phrase-book.ts'
import type { PhraseLength } from '../../core/texts/check-phrase-book.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { readPhraseBooks } from '../phrase-books.ts'

interface PhrasesOptions {
  readonly language?: string
  readonly price: number
  readonly format: 'text' | 'csv' | 'json'
}

interface Row extends PhraseLength {
  readonly language: string
  readonly kind: PhraseKind
  readonly cost: number
}

function rowsOf(books: readonly PhraseBook[], price: number): readonly Row[] {
  return books.flatMap((book) =>
    phraseLengths(book).map((length) => ({
      language: book.language,
      kind: PHRASES[length.key].kind,
      cost: length.parts * price,
      ...length,
    })),
  )
}

/** Each phrase with its languages below it, so that a reviewer compares them. */
function asText(rows: readonly Row[]): string {
  const keys = [...new Set(rows.map(({ key }) => key))]
  const lines = keys.flatMap((key) => [
    `${key} (${PHRASES[key].kind})`,
    ...rows.filter((row) => row.key === key).map(asLine),
    '',
  ])
  return lines.join('\n')
}

function asLine({ language, alphabet, units, parts, partsAllowed, cost, text }: Row): string {
  return `  ${language}  ${alphabet} ${units} units, ${parts}/${partsAllowed} parts, ${cost.toFixed(3)}  ${JSON.stringify(text)}`
}

const COLUMNS = ['language', 'key', 'kind', 'alphabet', 'units', 'parts', 'partsAllowed', 'cost', 'text']

const WRITERS: Readonly<Record<PhrasesOptions['format'], (rows: readonly Row[]) => string>> = {
  text: asText,
  csv: (rows) => stringify([...rows], { header: true, columns: COLUMNS }),
  json: (rows) => rows.map((row) => `${JSON.stringify(row)}\n`).join(''),
}

function booksIn(language: string | undefined): readonly PhraseBook[] {
  const books = readPhraseBooks()
  if (language === undefined) return [...books.values()]
  const book = books.get(language)
  if (book !== undefined) return [book]
  const known = [...books.keys()].join(', ')
  throw new Refusal('input-invalid', `There are no phrases in ${language}; there are some in ${known}.`)
}

function printPhrases({ language, price, format }: PhrasesOptions): void {
  const books = booksIn(language)
  process.stdout.write(WRITERS[format](rowsOf(books, price)))
  for (const problem of books.flatMap((book) => checkPhraseBook(book))) {
    process.stderr.write(`${problem.language} ${problem.key}: ${problem.detail}\n`)
    process.exitCode = 1
  }
}

function readPrice(text: string): number {
  const price = Number(text)
  if (text.trim() === '' || !(price >= 0)) throw new InvalidArgumentError('Give a price such as 0.02.')
  return price
}

/** `duebell phrases`: every text at its longest, in every language, for review. */
export function addPhrasesCommand(program: Command): void {
  program
    .command('phrases')
    .description(
      'Prints every text in every language with its parts and cost; fails when one is not fit for use.',
    )
    .option('--language <code>', 'only this language')
    .option('--price <amount>', 'what one part costs', readPrice, 0.02)
    .addOption(
      new Option('--format <format>', 'how to print').choices(['text', 'csv', 'json']).default('text'),
    )
    .action(printPhrases)
}
