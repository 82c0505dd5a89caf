import writeXlsxFile from 'write-excel-file/node'

export interface SheetColumn {
  readonly name: string
  /** In signs. */
  readonly width: number
  /** How numbers are shown: "0.0". */
  readonly format?: string
}

/** A workbook of one sheet below a bold heading that stays in view; numbers as numbers. */
export function xlsxFile(
  sheet: string,
  columns: readonly SheetColumn[],
  rows: readonly (readonly (string | number | null)[])[],
): Promise<Buffer> {
  const heading = columns.map(({ name }) => ({ value: name, fontWeight: 'bold' as const }))
  const cells = rows.map((row) => row.map((value, place) => cellOf(value, columns[place]?.format)))
  return writeXlsxFile([heading, ...cells], {
    sheet,
    stickyRowsCount: 1,
    columns: columns.map(({ width }) => ({ width })),
  }).toBuffer()
}

function cellOf(value: string | number | null, format: string | undefined) {
  if (value === null) return null
  if (typeof value === 'string') return { value, type: String }
  return { value, type: Number, ...(format === undefined ? {} : { format }) }
}
