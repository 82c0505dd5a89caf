import type { VillageCounts } from '../../../src/core/coverage/coverage-rows.ts'
import { coverageRows } from '../../../src/core/coverage/coverage-rows.ts'
import { aSheet, aSheetDose } from '../../support/a-sheet-dose.ts'
import { publishedRows } from '../../../src/core/coverage/suppression.ts'

const sheet = aSheet(aSheetDose('BCG', 1, { base: 'live-births' }))

/** Published counts by village, `null` where withheld; each village is [count, children]. */
function published(villages: Record<string, readonly [number, number]>, isDenominatorCounted = false) {
  const counts: VillageCounts[] = Object.entries(villages).map(([name, [count, children]]) => ({
    name,
    denominators: { 'live-births': children, 'surviving-infants': children },
    count: () => count,
  }))
  const rows = publishedRows(coverageRows(counts, sheet.doses, 10), { countAtLeast: 5, isDenominatorCounted })
  return Object.fromEntries(rows.map((row) => [row.village, row.numerator]))
}

describe('publishedRows', () => {
  test('leaves a table without small groups as it is', () => {
    expect(published({ A: [15, 20], B: [0, 20], C: [5, 20] })).toEqual({ A: 15, B: 0, C: 5, ALL: 20 })
  })

  test('withholds the percentage with the count', () => {
    const counts: VillageCounts[] = [
      { name: 'A', denominators: { 'live-births': 20, 'surviving-infants': 20 }, count: () => 3 },
    ]
    const [row] = publishedRows(coverageRows(counts, sheet.doses, 10), {
      countAtLeast: 5,
      isDenominatorCounted: false,
    })
    expect(row).toMatchObject({ numerator: null, percent: null, denominator: 20 })
  })

  test('complement attack: one small village takes the next smallest along, so the total gives neither away', () => {
    expect(published({ A: [3, 20], B: [15, 20], C: [12, 20] })).toEqual({ A: null, B: 15, C: null, ALL: 30 })
  })

  test('complement attack: two small villages whose sum is small take a third along', () => {
    expect(published({ A: [1, 20], B: [2, 20], C: [12, 20], D: [14, 20] })).toMatchObject({ C: null, D: 14 })
    expect(published({ A: [3, 20], B: [4, 20], C: [12, 20] })).toEqual({ A: null, B: null, C: 12, ALL: 19 })
  })

  test('complement attack: an empty village is no cover for a small one', () => {
    expect(published({ A: [3, 20], B: [0, 20], C: [12, 20] })).toEqual({ A: null, B: null, C: null, ALL: 15 })
  })

  test('where no village is left to hide behind, the total goes too', () => {
    expect(published({ A: [3, 20] })).toEqual({ A: null, ALL: null })
    expect(published({ A: [1, 20], B: [2, 20] })).toEqual({ A: null, B: null, ALL: null })
  })

  test('of counted children the few who miss a dose are a small group as well', () => {
    const villages = { A: [18, 20], B: [12, 20], C: [10, 20] } as const
    expect(published(villages)).toEqual({ A: 18, B: 12, C: 10, ALL: 40 })
    expect(published(villages, true)).toEqual({ A: null, B: 12, C: null, ALL: 40 })
  })

  test('a village with very few counted children shows none of its counts', () => {
    expect(published({ A: [0, 3], B: [10, 20], C: [12, 20] }, true)).toEqual({
      A: null,
      B: null,
      C: 12,
      ALL: 22,
    })
  })
})
