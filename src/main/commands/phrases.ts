import { Option } from 'commander'
import type { Command } from 'commander'
import { stringify } from 'csv-stringify/sync'
import { PHRASES } from '../../core/texts/catalogue/phrases.ts'
import type { PhraseKind } from '../../core/texts/catalogue/placeholders.ts'
import { checkPhraseBook, phraseLengths } from '../../core/texts/check-phrase-book.ts'
import type { PhraseLength } from '../../core/texts/check-phrase-book.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { readPhraseBooks } from '../phrase-books.ts'

interface PhrasesOptions {
  readonly language?: string
  readonly price: string
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

function printPhrases({ language, price, format }: PhrasesOptions): void {
  const books = [...readPhraseBooks().values()].filter(
    (book) => language === undefined || book.language === language,
  )
  process.stdout.write(WRITERS[format](rowsOf(books, Number(price))))
  for (const problem of books.flatMap((book) => checkPhraseBook(book))) {
    process.stderr.write(`${problem.language} ${problem.key}: ${problem.detail}\n`)
    process.exitCode = 1
  }
}

/** `duebell phrases`: every text at its longest, in every language, for review. */
export function addPhrasesCommand(program: Command): void {
  program
    .command('phrases')
    .description(
      'Prints every text in every language with its parts and cost; fails when one is not fit for use.',
    )
    .option('--language <code>', 'only this language')
    .option('--price <amount>', 'what one part costs', '0.02')
    .addOption(
      new Option('--format <format>', 'how to print').choices(['text', 'csv', 'json']).default('text'),
    )
    .action(printPhrases)
}
