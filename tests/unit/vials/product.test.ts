import {
  nominalDoses,
  parseProducts,
  productsFor,
  usableDoses,
  useFor,
  vialSize,
} from '../../../src/core/vials/product.ts'
import type { Product, ProductUse } from '../../../src/core/vials/product.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { product, products } from '../../support/shipped-data.ts'

function use(of: Product, vaccine: string): ProductUse {
  const found = useFor(of, vaccine)
  if (found === undefined) throw new Error(`${of.code} is not for ${vaccine}`)
  return found
}

describe('the shipped products', () => {
  test.each([
    ['ipv-5', 25, 20],
    ['ipv-10', 50, 40],
  ])(
    '%s holds %i fractional doses (Haldar et al., Bull WHO 2019), %i usable (from memory)',
    (code, nominal, usable) => {
      const vial = product(code)

      expect(nominalDoses(vial, use(vial, 'FIPV'))).toBe(nominal)
      expect(usableDoses(vial, use(vial, 'FIPV'))).toBe(usable)
    },
  )

  test.each([
    ['ipv-5', 5],
    ['ipv-10', 10],
    ['bopv-20', 20],
    ['mr-10', 10],
  ])('%s is a vial of %i full doses', (code, doses) => {
    expect(vialSize(product(code))).toBe(doses)
  })

  test('a fractional dose is 0.1 mL, one fifth of 0.5 mL (WHO sheet on fractional IPV)', () => {
    const vial = product('ipv-5')

    expect(use(vial, 'FIPV').doseMl).toBe(0.1)
    expect(use(vial, 'IPV').doseMl).toBe(0.5)
    expect(use(vial, 'IPV').unitsPerDose).toBe(5 * use(vial, 'FIPV').unitsPerDose)
  })

  test('fractional IPV goes into the skin of the arm opposite the BCG arm (WHO sheet on fractional IPV)', () => {
    const fractional = use(product('ipv-5'), 'FIPV')
    const bcg = use(product('bcg-20'), 'BCG')

    expect([fractional.route, bcg.route]).toEqual(['intradermal', 'intradermal'])
    expect([fractional.site, bcg.site]).toEqual(['right-upper-arm', 'left-upper-arm'])
  })

  test('adsorbed and other liquid vaccines are freeze sensitive, BOPV and dry vaccines are not (WHO, from memory)', () => {
    const sensitive = new Set(
      products
        .filter(({ freezeSensitive }) => freezeSensitive)
        .flatMap(({ uses }) => uses.map(({ vaccine }) => vaccine)),
    )

    for (const vaccine of ['DTP', 'TD', 'PENTA', 'HEXA', 'HEPB', 'IPV', 'FIPV', 'PCV', 'HPV', 'ROTA', 'TCV'])
      expect(sensitive).toContain(vaccine)
    for (const vaccine of ['BOPV', 'BCG', 'MR', 'MCV', 'YF']) expect(sensitive).not.toContain(vaccine)
  })

  test('a vaccine may come in several presentations', () => {
    expect(productsFor(products, 'FIPV').map(({ code }) => code)).toEqual(['ipv-5', 'ipv-10'])
    expect(productsFor(products, 'NOSUCH')).toEqual([])
  })
})

describe('parseProducts', () => {
  const shipped = readDataFile('products/products.json') as { products: { code: string }[] }
  const withFirst = (change: object) => ({ ...shipped, products: [{ ...shipped.products[0], ...change }] })

  test.each([
    ['a dry vaccine kept for days', { approvedOpenDays: 28 }, 'a reconstituted vaccine is not kept for days'],
    ['a shake test for what frost does not harm', { shakeTest: true }, 'a shake test makes no sense'],
    [
      'a dose larger than the vial',
      {
        unitsPerVial: 10,
        uses: [
          { vaccine: 'X', unitsPerDose: 11, usableDoses: null, doseMl: 1, route: 'oral', site: 'mouth' },
        ],
      },
      'more than the vial',
    ],
    [
      'more usable doses than there are',
      { uses: [{ vaccine: 'X', unitsPerDose: 1, usableDoses: 11, doseMl: 1, route: 'oral', site: 'mouth' }] },
      'more usable doses',
    ],
    ['a vial of nothing', { unitsPerVial: 0 }, 'products.0.unitsPerVial'],
  ])('says what is wrong with %s', (_, change, problem) => {
    const checked = parseProducts(withFirst(change))

    expect(checked.kind === 'invalid' && checked.problems.join()).toContain(problem)
  })

  test('refuses two products of one code', () => {
    const twice = { ...shipped, products: [shipped.products[0], shipped.products[0]] }

    expect(parseProducts(twice)).toEqual({ kind: 'invalid', problems: ['products: a code occurs twice'] })
  })
})
