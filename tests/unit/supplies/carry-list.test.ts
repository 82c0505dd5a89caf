import { carryList, materialsFor } from '../../../src/core/supplies/carry-list.ts'
import { stockLevel } from '../../../src/core/supplies/stock-level.ts'
import { product, supplyPlanning } from '../../support/shipped-data.ts'

const items = [
  { vaccine: 'BOPV', product: product('bopv-10'), vials: 3, doses: 24 },
  { vaccine: 'FIPV', product: product('ipv-5'), vials: 2, doses: 30 },
  { vaccine: 'MR', product: product('mr-10'), vials: 2, doses: 12 },
  { vaccine: 'BCG', product: product('bcg-20'), vials: 0, doses: 0 },
  { vaccine: 'PENTA', product: product('penta-10'), vials: 4, doses: 32 },
]

describe('carryList', () => {
  test('names what to carry, with the size of a vial that serves two vaccines', () => {
    expect(carryList(items)).toBe('3 BOPV, 2 FIPV(5), 2 MR, 4 PENTA')
  })

  test('is empty when nobody is due', () => {
    expect(carryList([])).toBe('')
  })
})

describe('materialsFor', () => {
  test('counts a syringe for each dose injected, a diluent for each dry vial, and safety boxes', () => {
    expect(materialsFor(items, supplyPlanning)).toEqual({
      syringes: [
        { ml: 0.1, count: 30 },
        { ml: 0.5, count: 44 },
      ],
      diluents: 2,
      safetyBoxes: 1,
    })
  })

  test('needs nothing for drops alone', () => {
    expect(materialsFor(items.slice(0, 1), supplyPlanning)).toEqual({
      syringes: [],
      diluents: 0,
      safetyBoxes: 0,
    })
  })
})

describe('stockLevel', () => {
  const next = { low: 2, expected: 3, high: 4 }

  test.each([
    [0, 'out', 3],
    [2, 'short', 1],
    [3, 'low', 0],
    [4, 'low', 0],
    [5, 'enough', 0],
  ])(
    'with %i vials, 3 to 4 wanted next and 10 in the month, stock is %s',
    (onHand, level, shortfallVials) => {
      expect(stockLevel(onHand, next, 10, supplyPlanning)).toEqual({ level, shortfallVials })
    },
  )

  test('no stock and no need is still no stock', () => {
    expect(stockLevel(0, { low: 0, expected: 0, high: 0 }, 0, supplyPlanning)).toEqual({
      level: 'out',
      shortfallVials: 0,
    })
  })
})
