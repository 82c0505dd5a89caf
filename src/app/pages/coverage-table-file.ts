/** The coverage table of the page as a file: its lines, its columns, its order. */
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { percentText } from '../../core/coverage/shown-ratio.ts'
import { csvText } from '../csv-text.ts'
import type { MeasuredPlace } from './coverage-table.ts'

/** Columns that a reader may leave out, in the order of the table. */
export const TABLE_COLUMNS = ['target', 'crude', 'valid', 'timely', 'note'] as const
export type TableColumn = (typeof TABLE_COLUMNS)[number]

/** `place,series,dose`, then what each chosen column holds; a measure is a count and a percentage. */
export function tableCsv(lines: readonly MeasuredPlace[], columns: readonly TableColumn[]): string {
  const titles = columns.flatMap((column) => HELD[column].titles)
  return csvText([
    ['place', 'series', 'dose', ...titles],
    ...lines.map((line) => [
      line.name,
      line.crude.series,
      String(line.crude.dose),
      ...columns.flatMap((column) => HELD[column].cells(line)),
    ]),
  ])
}

interface HeldColumn {
  readonly titles: readonly string[]
  readonly cells: (line: MeasuredPlace) => readonly string[]
}

const HELD: Readonly<Record<TableColumn, HeldColumn>> = {
  target: { titles: ['target'], cells: ({ crude }) => [crude.denominator?.toFixed(1) ?? ''] },
  crude: { titles: ['crude', 'crude_percent'], cells: ({ crude }) => measureCells(crude) },
  valid: { titles: ['valid', 'valid_percent'], cells: ({ valid }) => measureCells(valid) },
  timely: { titles: ['timely', 'timely_percent'], cells: ({ timely }) => measureCells(timely) },
  note: { titles: ['flags'], cells: ({ crude }) => [crude.flags.join(' ')] },
}

function measureCells({ numerator, denominator, percent }: CoverageRow): readonly string[] {
  const hasPercent = denominator !== null && percent !== null
  return [String(numerator), hasPercent ? percentText(numerator, denominator) : '']
}
