import type { VillageCounts } from '../../../src/core/coverage/coverage-rows.ts'
import { coverageCells, coverageRows } from '../../../src/core/coverage/coverage-rows.ts'
import { aSheet, aSheetDose } from '../../support/a-sheet-dose.ts'

const sheet = aSheet(
  aSheetDose('BCG', 1, { base: 'live-births' }),
  aSheetDose('PENTA', 1),
  aSheetDose('HPV', 1, { base: null }),
)

const village = (
  name: string,
  targets: readonly [births: number | null, infants: number | null],
  counts: Record<string, number>,
): VillageCounts => ({
  name,
  denominators: { 'live-births': targets[0], 'surviving-infants': targets[1] },
  count: (series) => counts[series] ?? 0,
})

const table = (...villages: VillageCounts[]) =>
  coverageRows(villages, sheet.doses, 10).map((row) => coverageCells(row).join(','))

describe('coverageRows', () => {
  test('lists villages by name, doses in schedule order, then the whole', () => {
    const rows = table(
      village('Tall Reeds', [47.509, 43.7], { BCG: 40, PENTA: 45 }),
      village('Amber Ford', [20, 19], { BCG: 15, PENTA: 12, HPV: 2 }),
    )
    expect(rows).toEqual([
      'Amber Ford,BCG,1,15,20.0,75.0,',
      'Amber Ford,PENTA,1,12,19.0,63.2,',
      'Amber Ford,HPV,1,2,,,no-denominator',
      'Tall Reeds,BCG,1,40,47.5,84.2,',
      'Tall Reeds,PENTA,1,45,43.7,103.0,over-100',
      'Tall Reeds,HPV,1,0,,,no-denominator',
      'ALL,BCG,1,55,67.5,81.5,',
      'ALL,PENTA,1,57,62.7,90.9,',
      'ALL,HPV,1,2,,,no-denominator',
    ])
  })

  test('divides by the unrounded target', () => {
    // 3.25 prints as 3.3; 3 of 3.25 is 92.3 %, 3 of 3.3 would be 90.9 %.
    expect(table(village('Amber Ford', [3.25, 3], { BCG: 3 }))[0]).toBe(
      'Amber Ford,BCG,1,3,3.3,92.3,small-number',
    )
  })

  test('a village without a target leaves the whole without one, and never borrows another', () => {
    const rows = table(
      village('Amber Ford', [20, 19], { BCG: 15 }),
      village('New Camp', [null, null], { BCG: 9 }),
    )
    expect(rows).toContain('New Camp,BCG,1,9,,,no-denominator')
    expect(rows).toContain('ALL,BCG,1,24,,,no-denominator')
  })

  test('sorts names by code point, whatever the reader’s language', () => {
    const names = ['Öd', 'amber', 'Zed', 'Amber'].map((name) => village(name, [20, 19], {}))
    expect([...new Set(coverageRows(names, sheet.doses, 10).map((row) => row.village))]).toEqual([
      'Amber',
      'Zed',
      'amber',
      'Öd',
      'ALL',
    ])
  })
})
