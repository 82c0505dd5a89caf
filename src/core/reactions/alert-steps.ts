import type { AlertRules, AlertStep } from './alert-rules.ts'

/** A serious report on its way; each instant is `null` until it has happened. */
export interface Alert {
  readonly reportedAt: Date
  /** A person in the district has taken it on. */
  readonly acknowledgedAt: Date | null
  /** The next level has been told. */
  readonly notifiedAt: Date | null
  readonly investigatedAt: Date | null
}

export interface DueStep {
  readonly step: string
  readonly at: Date
}

const MINUTE_MS = 60_000

const DONE_AT = {
  acknowledged: (alert: Alert) => alert.acknowledgedAt,
  notified: (alert: Alert) => alert.notifiedAt,
  investigated: (alert: Alert) => alert.investigatedAt,
} as const satisfies Record<AlertStep['until'], (alert: Alert) => Date | null>

/**
 * The steps of an alert that still stand, each with its time, in time order. A step falls away when what it waits
 * for happened before its time; one whose time has come stays, so that the record shows it was due.
 */
export function alertSteps(alert: Alert, rules: AlertRules): readonly DueStep[] {
  return rules.steps
    .map(({ step, afterMinutes, until }) => ({
      step,
      at: new Date(alert.reportedAt.getTime() + afterMinutes * MINUTE_MS),
      doneAt: DONE_AT[until](alert),
    }))
    .filter(({ at, doneAt }) => doneAt === null || at <= doneAt)
    .map(({ step, at }) => ({ step, at }))
    .sort((a, b) => a.at.getTime() - b.at.getTime())
}
