import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'

const useSchema = z
  .strictObject({
    vaccine: z.string().min(1),
    /** What one dose takes of the vial's units. */
    unitsPerDose: z.int().positive(),
    /** Doses that come out in practice, once syringes have kept their share; `null`: all of them. */
    usableDoses: z.int().positive().nullable(),
    doseMl: z.number().positive(),
    route: z.enum(['oral', 'intradermal', 'subcutaneous', 'intramuscular']),
    site: z.enum(['mouth', 'left-upper-arm', 'right-upper-arm', 'left-thigh', 'right-thigh']),
  })
  .readonly()

const productSchema = z
  .strictObject({
    code: z.string().regex(/^[a-z0-9-]+$/),
    /** A lyophilised vaccine is a powder; once mixed with its diluent it is never carried over. */
    form: z.enum(['liquid', 'lyophilised']),
    /** A vial is counted in its smallest dose: 25 for five full doses of IPV, each worth five fractional ones. */
    unitsPerVial: z.int().positive(),
    /** Days of use after opening that WHO has determined; `null` where it has determined none. */
    approvedOpenDays: z.int().positive().nullable(),
    /** Hours of use after opening where the days do not apply. */
    openHours: z.number().positive(),
    /** A monitor on the cap is gone once the vial is open. */
    monitorOn: z.enum(['label', 'cap', 'none']),
    /** The vaccine as stored; diluents must never freeze. */
    freezeSensitive: z.boolean(),
    /** Whether shaking can show frost damage (adsorbed vaccines only). */
    shakeTest: z.boolean(),
    uses: z.array(useSchema).min(1).readonly(),
  })
  .readonly()
  .superRefine((product, context) => {
    const problem = (message: string) => {
      context.addIssue({ code: 'custom', message: `${product.code}: ${message}` })
    }
    if (product.form === 'lyophilised' && product.approvedOpenDays !== null)
      problem('a reconstituted vaccine is not kept for days')
    if (product.shakeTest && !product.freezeSensitive)
      problem('a shake test makes no sense for a vaccine that frost does not harm')
    for (const use of product.uses) {
      if (use.unitsPerDose > product.unitsPerVial) problem(`a dose of ${use.vaccine} is more than the vial`)
      if ((use.usableDoses ?? 0) > nominalDoses(product, use))
        problem(`more usable doses of ${use.vaccine} than the vial holds`)
    }
  })

const productsSchema = z
  .strictObject({
    source: z.string(),
    note: z.string(),
    products: z
      .array(productSchema)
      .readonly()
      .refine((all) => new Set(all.map(({ code }) => code)).size === all.length, 'a code occurs twice'),
  })
  .transform(({ products }) => products)

/** One way in which a vial is used: a vaccine, its dose, route and body site. */
export type ProductUse = z.infer<typeof useSchema>

/** A presentation: what is in the vial, how much of it, and how long it keeps once open. */
export type Product = z.infer<typeof productSchema>

/** Reads src/data/products/products.json. */
export function parseProducts(data: unknown): Checked<readonly Product[]> {
  return checkData(productsSchema, data)
}

/** How a product is used for a vaccine; `undefined` when it is another vaccine's. */
export function useFor(product: Product, vaccine: string): ProductUse | undefined {
  return product.uses.find((use) => use.vaccine === vaccine)
}

/** The presentations from which a vaccine can be given, in data order. */
export function productsFor(products: readonly Product[], vaccine: string): readonly Product[] {
  return products.filter((product) => useFor(product, vaccine) !== undefined)
}

/** Doses by the label: 25 fractional doses in a vial of five (Haldar et al., Bull WHO 2019). */
export function nominalDoses(product: Pick<Product, 'unitsPerVial'>, use: ProductUse): number {
  return Math.floor(product.unitsPerVial / use.unitsPerDose)
}

/** Doses to reckon with when planning. */
export function usableDoses(product: Product, use: ProductUse): number {
  return use.usableDoses ?? nominalDoses(product, use)
}

/** A vial's size as the trade names it: its full doses. */
export function vialSize(product: Product): number {
  return Math.min(...product.uses.map((use) => nominalDoses(product, use)))
}

/** Largest vial in general use. Of a vaccine with no presentation on record only more than this is certainly too much. */
const MOST_UNITS = 20

/** A vaccine that no presentation on record holds: kept as carefully as any, six hours and never frozen. */
export function unlistedProduct(vaccine: string): Product {
  return {
    code: 'unlisted',
    form: 'liquid',
    unitsPerVial: MOST_UNITS,
    approvedOpenDays: null,
    openHours: 6,
    monitorOn: 'label',
    freezeSensitive: true,
    shakeTest: false,
    uses: [
      {
        vaccine,
        unitsPerDose: 1,
        usableDoses: null,
        doseMl: 0.5,
        route: 'intramuscular',
        site: 'left-thigh',
      },
    ],
  }
}

/**
 * The presentation a place is supplied with: the one it names, else the first of several doses, else the first; an
 * unlisted one for a vaccine that only a national schedule knows.
 */
export function productInUse(
  products: readonly Product[],
  named: readonly string[],
  vaccine: string,
): Product {
  const all = productsFor(products, vaccine)
  const isOfSeveral = (product: Product): boolean => vialSize(product) > 1
  return (
    all.find(({ code }) => named.includes(code)) ??
    all.find(isOfSeveral) ??
    all[0] ??
    unlistedProduct(vaccine)
  )
}
