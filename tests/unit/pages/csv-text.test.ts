import { parse } from 'csv-parse/sync'
import { csvText } from '../../../src/app/csv-text.ts'

function cellOf(cell: string): string | undefined {
  const rows: string[][] = parse(csvText([[cell, 'x']]), { bom: true })
  return rows[0]?.[0]
}

describe('csvText', () => {
  test.each(['=1+1', '+HYPERLINK("x")', '-2+3', '@SUM(A1)', '\tx'])(
    'keeps %j from being a formula',
    (cell) => {
      expect(cellOf(cell)).toBe(`'${cell}`)
    },
  )

  test.each(['Zoë "the" Bell, of Quay', '+447700900123', '+44 7700 900123', '4821 7739', ''])(
    'leaves %j as it is',
    (cell) => {
      expect(cellOf(cell)).toBe(cell)
    },
  )

  test('ends lines as RFC 4180 does and begins with the mark of UTF-8', () => {
    expect(
      csvText([
        ['a', 'b'],
        ['c', 'd'],
      ]),
    ).toBe('\uFEFFa,b\r\nc,d\r\n')
  })
})
