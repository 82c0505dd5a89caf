/** A follow list as a file, in the order of the page. */
import { formatDay } from '../../core/days/day.ts'
import { csvText } from '../csv-text.ts'
import { xlsxFile } from '../xlsx-file.ts'
import type { OfVillage } from './by-village.ts'
import type { FollowLine } from './follow-lists.ts'

const COLUMNS = [
  { name: 'village', width: 24 },
  { name: 'card_number', width: 12 },
  { name: 'name', width: 28 },
  { name: 'birth_date', width: 12 },
  { name: 'day', width: 12 },
  { name: 'vaccines', width: 32 },
  { name: 'phones', width: 18 },
  { name: 'last_word', width: 32 },
] as const

/** As a table of text. */
export function listCsv(groups: readonly OfVillage<FollowLine>[]): string {
  return csvText([COLUMNS.map(({ name }) => name), ...rowsOf(groups)])
}

/** As a workbook. */
export function listXlsx(name: string, groups: readonly OfVillage<FollowLine>[]): Promise<Buffer> {
  return xlsxFile(name, COLUMNS, rowsOf(groups))
}

function rowsOf(groups: readonly OfVillage<FollowLine>[]): string[][] {
  return groups.flatMap(({ lines }) => lines.map(lineCells))
}

function lineCells({
  village,
  cardNumber,
  name,
  birthOn,
  on,
  wanted,
  numbers,
  lastWord,
}: FollowLine): string[] {
  return [
    village.name,
    cardNumber,
    name,
    formatDay(birthOn),
    formatDay(on),
    wanted.join(' '),
    numbers.join(' '),
    lastWord?.reason ?? '',
  ]
}
