import { budgetState, isLeftOut, priceOf, spendingSchema } from '../../../src/core/delivery/spending.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'

const shipped = spendingSchema.parse(readDataFile('delivery/spending.json'))
const thousand = { ...shipped, partsPerMonth: 1000 }

describe('a budget', () => {
  test('warns from 80 % on', () => {
    expect(budgetState(thousand, 799)).toEqual({ parts: 799, share: 0.799, isWarned: false })
    expect(budgetState(thousand, 800)).toEqual({ parts: 800, share: 0.8, isWarned: true })
  })

  test('leaves out the early reminder first, the later recall next, and the rest at its end', () => {
    const left = (parts: number) =>
      Object.keys(shipped.dropFrom).filter((kind) => isLeftOut(thousand, budgetState(thousand, parts), kind))

    expect(left(899)).toEqual([])
    expect(left(900)).toEqual(['ahead'])
    expect(left(950)).toEqual(['ahead', 'missed-2'])
    expect(left(1000)).toEqual(Object.keys(shipped.dropFrom))
  })

  test('that is not set warns of nothing and leaves nothing out', () => {
    expect(budgetState(shipped, 1_000_000)).toEqual({ parts: 1_000_000, share: null, isWarned: false })
    expect(isLeftOut(shipped, budgetState(shipped, 1_000_000), 'ahead')).toBe(false)
  })
})

test('a part costs what the longest prefix that fits says', () => {
  const prices = [
    { prefix: '+44', operator: 'North', perPart: 0.02 },
    { prefix: '+447700', operator: 'South', perPart: 0.03 },
  ]

  expect(priceOf({ ...shipped, prices }, '+447700')?.operator).toBe('South')
  expect(priceOf({ ...shipped, prices }, '+441632')?.operator).toBe('North')
  expect(priceOf({ ...shipped, prices }, '+254700')).toBeUndefined()
})
