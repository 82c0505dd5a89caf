import { stringify } from 'csv-stringify/sync'

/** Signs with which a spreadsheet takes a cell for a formula. */
const FORMULA = /^'*[=+@\t\r-]/

/**
 * A table as a file for spreadsheets: RFC 4180 in UTF-8 with a mark at its start that makes them read it as such. Words
 * that would be taken for a formula are kept from it, which import undoes; phone numbers stay as they are. The pieces of a long
 * file have one mark.
 */
export function csvText(rows: readonly (readonly string[])[], { hasMark = true } = {}): string {
  return stringify(
    rows.map((cells) => cells.map(harmless)),
    { bom: hasMark, record_delimiter: 'windows' },
  )
}

function harmless(cell: string): string {
  return FORMULA.test(cell) && !/^\+\d[\d +]*$/.test(cell) ? `'${cell}` : cell
}
