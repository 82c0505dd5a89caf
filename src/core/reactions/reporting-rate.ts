import type { AlertRules } from './alert-rules.ts'

export interface ReportingRate {
  /** Reports a year for each 100,000 surviving infants; `null` without infants or time. */
  readonly per100000: number | null
  /** True where so few reports mean that reactions go unreported, not that there are none. */
  readonly isTooLow: boolean
}

/** AEFI reporting as a measure of the reporting system (WHO, Analysis and use of health facility data, 2018). */
export function reportingRate(
  reports: number,
  survivingInfants: number,
  years: number,
  rules: AlertRules,
): ReportingRate {
  if (survivingInfants <= 0 || years <= 0) return { per100000: null, isTooLow: false }
  const per100000 = (reports * 100_000) / survivingInfants / years
  return { per100000, isTooLow: per100000 < rules.reportsPer100000 }
}
