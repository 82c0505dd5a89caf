import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { vialSize } from '../vials/product.ts'
import type { Product } from '../vials/product.ts'

const rateSchema = z.strictObject({
  /** Absent: any vaccine. */
  vaccines: z.array(z.string()).optional(),
  form: z.enum(['liquid', 'lyophilised']),
  /** Largest vial the rate is for; `null`: any size. */
  upToDoses: z.int().positive().nullable(),
  percent: z.number().min(0).lt(100),
})

/** The first rate that fits holds, so that each form needs one that always does. */
const ratesSchema = z
  .array(rateSchema)
  .refine(
    (rates) =>
      ['liquid', 'lyophilised'].every((form) =>
        rates.some((rate) => rate.form === form && rate.upToDoses === null && rate.vaccines === undefined),
      ),
    'needs for each form a rate for any vaccine and any size',
  )

const planningSchema = z
  .strictObject({
    source: z.string(),
    note: z.string(),
    wastageInUse: z.string(),
    wastage: z.record(z.string(), ratesSchema),
    /** Shares of those due who come, where a place has no history yet. */
    attendance: z.strictObject({
      low: z.number().positive(),
      expected: z.number().positive(),
      high: z.number().positive(),
    }),
    /** A post with so many past sessions is planned by its own; only the last ones of so many days count. */
    ownAttendance: z
      .strictObject({
        fromSessions: z.int().positive(),
        upToSessions: z.int().positive(),
        withinDays: z.int().positive(),
      })
      .refine(
        ({ fromSessions, upToSessions }) => fromSessions <= upToSessions,
        'asks for more than it reads',
      ),
    /** Stock for less than so many months is low. */
    lowBelowMonths: z.number().positive(),
    syringesToABox: z.int().positive(),
  })
  .refine(({ wastage, wastageInUse }) => wastageInUse in wastage, 'wastageInUse names no set')
  .refine(
    ({ attendance: { low, expected, high } }) => low <= expected && expected <= high,
    'attendance is out of order',
  )

/** src/data/supplies/planning.json: the figures that a programme plans with. */
export type SupplyPlanning = z.infer<typeof planningSchema>

export function parseSupplyPlanning(data: unknown): Checked<SupplyPlanning> {
  return checkData(planningSchema, data)
}

/** The wastage to plan with for a product, in percent of the doses opened. */
export function plannedWastagePercent(product: Product, planning: SupplyPlanning): number {
  const rates = planning.wastage[planning.wastageInUse] ?? []
  const fits = rates.find(
    ({ vaccines, form, upToDoses }) =>
      form === product.form &&
      vialSize(product) <= (upToDoses ?? Infinity) &&
      (vaccines === undefined || product.uses.some((use) => vaccines.includes(use.vaccine))),
  )
  if (fits === undefined) throw new Error(`no wastage rate for ${product.code}`)
  return fits.percent
}
