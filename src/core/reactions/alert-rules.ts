import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'

const stepSchema = z.strictObject({
  step: z.string(),
  /** Minutes after the report came in. */
  afterMinutes: z.int().nonnegative(),
  /** What makes the step needless. */
  until: z.enum(['acknowledged', 'notified', 'investigated']),
})

const clusterRuleSchema = z.strictObject({
  by: z.enum(['vial', 'lot', 'post']),
  reports: z.int().min(2),
  withinDays: z.int().positive(),
  weights: z.array(z.enum(['serious', 'notable', 'ordinary'])).min(1),
})

const alertRulesSchema = z.strictObject({
  source: z.string(),
  note: z.string(),
  steps: z.array(stepSchema),
  clusters: z.array(clusterRuleSchema),
  /** Fewer reports a year for each 100,000 surviving infants is a sign that reactions go unreported. */
  reportsPer100000: z.number().positive(),
})

/** src/data/reactions/alerts.json: when an alert climbs, what a cluster is, how many reports are too few. */
export type AlertRules = z.infer<typeof alertRulesSchema>

export type AlertStep = z.infer<typeof stepSchema>

export type ClusterRule = z.infer<typeof clusterRuleSchema>

export function parseAlertRules(data: unknown): Checked<AlertRules> {
  return checkData(alertRulesSchema, data)
}
