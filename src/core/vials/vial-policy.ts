import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { mustParseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Product } from './product.ts'

const shorterSchema = z.union([
  z.strictObject({ vaccines: z.array(z.string()).readonly(), days: z.int().positive() }).readonly(),
  z.strictObject({ vaccines: z.array(z.string()).readonly(), hours: z.number().positive() }).readonly(),
])

const policySchema = z
  .strictObject({
    code: z.string().regex(/^[a-z0-9-]+$/),
    name: z.string(),
    source: z.string(),
    /** A vial keeps the policy that was in force on the day it was opened. */
    effectiveOn: z.iso.date().transform(mustParseDay),
    /** Whether the last day of a life in days ends at the hour of opening or at midnight. */
    lastDay: z.enum(['to-the-hour', 'whole']),
    /** National limits below what the product allows. */
    shorter: z.array(shorterSchema).readonly(),
    /** Whether staff may shake-test a vaccine that may have been frozen, or must discard it. */
    shakeTest: z.boolean(),
    warnings: z
      .strictObject({
        /** For a life in days: how many days before its end, and at which local hour. */
        daysBefore: z.int().positive(),
        atHour: z.int().min(0).max(23),
        /** For a life in hours. */
        minutesBefore: z.int().positive(),
      })
      .readonly(),
  })
  .readonly()

const policiesSchema = z
  .strictObject({ note: z.string(), policies: z.array(policySchema).min(1).readonly() })
  .transform(({ policies }) => policies)

/** A country's rules on opened vials. */
export type VialPolicy = z.infer<typeof policySchema>

/** How long an opened vial may be used. */
export type OpenLife =
  | { readonly kind: 'days'; readonly days: number }
  /** Or to the end of the session, whichever comes first; never carried over. */
  | { readonly kind: 'hours'; readonly hours: number }

/** Reads src/data/products/vial-policies.json. */
export function parseVialPolicies(data: unknown): Checked<readonly VialPolicy[]> {
  return checkData(policiesSchema, data)
}

/** The version of a policy that is in force on a day; `undefined` before its first. */
export function policyOn(policies: readonly VialPolicy[], code: string, day: Day): VialPolicy | undefined {
  return policies
    .filter((policy) => policy.code === code && policy.effectiveOn <= day)
    .reduce<VialPolicy | undefined>(
      (latest, policy) => (latest !== undefined && latest.effectiveOn > policy.effectiveOn ? latest : policy),
      undefined,
    )
}

/**
 * How long a product may be used once open: days only where WHO has determined them and the monitor is on the
 * label (WHO/IVB/14.07; its application to IPV, 2014), else hours. A policy shortens this, it never lengthens it.
 */
export function openLife(product: Product, policy: VialPolicy): OpenLife {
  const shorter = policy.shorter.filter(({ vaccines }) =>
    product.uses.some((use) => vaccines.includes(use.vaccine)),
  )
  const hours = shorter.flatMap((limit) => ('hours' in limit ? [limit.hours] : []))
  const days = shorter.flatMap((limit) => ('days' in limit ? [limit.days] : []))
  const keepsForDays = product.approvedOpenDays !== null && product.monitorOn === 'label'
  return keepsForDays && hours.length === 0
    ? { kind: 'days', days: Math.min(product.approvedOpenDays, ...days) }
    : { kind: 'hours', hours: Math.min(product.openHours, ...hours) }
}
