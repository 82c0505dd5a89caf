import { z } from 'zod'

/** From this share of the budget on, reminders of a kind are left out. */
const share = z.number().min(0).max(10)

/** The shape of src/data/delivery/spending.json: what texts may take and cost in a district. */
export const spendingSchema = z.strictObject({
  source: z.string(),
  /** Parts in a calendar month of the district; null: as many as are needed. */
  partsPerMonth: z.int().min(1).nullable(),
  /** From this share on the manager is warned. */
  warnFrom: share,
  /** What is left out first as the budget runs out; replies, lists and alerts never are. */
  dropFrom: z.strictObject({
    ahead: share,
    eve: share,
    'missed-1': share,
    'missed-2': share,
    aftercare: share,
    moved: share,
  }),
  /** ISO 4217; XXX is none. */
  currency: z.string().regex(/^[A-Z]{3}$/),
  /** What one part costs, by the start of the number: the longest prefix that fits counts. */
  prices: z
    .array(
      z.strictObject({
        prefix: z.string().regex(/^(\+\d{1,6})?$/),
        operator: z.string().min(1).max(60),
        perPart: z.number().min(0),
      }),
    )
    .min(1),
})

export type Spending = z.infer<typeof spendingSchema>
export type Price = Spending['prices'][number]

/** Where a district stands in its budget. */
export interface BudgetState {
  readonly parts: number
  /** Of the budget; null where there is none. */
  readonly share: number | null
  readonly isWarned: boolean
}

/**
 * What so many parts are of the budget.
 * @example budgetState({ ...spending, partsPerMonth: 1000, warnFrom: 0.8 }, 800) // { parts: 800, share: 0.8, isWarned: true }
 */
export function budgetState({ partsPerMonth, warnFrom }: Spending, parts: number): BudgetState {
  if (partsPerMonth === null) return { parts, share: null, isWarned: false }
  const used = parts / partsPerMonth
  return { parts, share: used, isWarned: used >= warnFrom }
}

/** Whether the budget has run so low that reminders of a kind are left out. */
export function isLeftOut({ dropFrom }: Spending, { share: used }: BudgetState, kind: string): boolean {
  const from = Object.entries(dropFrom).find(([name]) => name === kind)?.[1]
  return used !== null && from !== undefined && used >= from
}

/** The price of a part to a number that starts so; undefined where none is known. */
export function priceOf({ prices }: Spending, start: string): Price | undefined {
  return prices
    .filter(({ prefix }) => start.startsWith(prefix))
    .reduce<Price | undefined>(
      (longest, price) => (price.prefix.length > (longest?.prefix.length ?? -1) ? price : longest),
      undefined,
    )
}
