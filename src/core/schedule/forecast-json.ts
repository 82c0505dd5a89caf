import { formatDay } from '../days/day.ts'
import type { Forecast, JudgedDose, NextDose, NextDoseStatus, UncountedReason } from './forecast-types.ts'

/** A forecast as the command line and the API write it (docs/schedule-format.md): days are ISO text. */
export interface ForecastJson {
  readonly given: readonly {
    readonly vaccine: string
    readonly date: string
    readonly counts: readonly {
      readonly series: string
      readonly dose: number | null
      readonly valid: boolean
      readonly reason: UncountedReason | null
    }[]
  }[]
  readonly next: readonly {
    readonly series: string
    readonly dose: number
    readonly vaccine: string
    readonly earliest: string
    readonly due: string
    readonly overdue: string | null
    readonly latest: string | null
    readonly status: NextDoseStatus
  }[]
  readonly complete: readonly string[]
}

/** Writes a forecast with ISO days. */
export function forecastJson({ given, next, complete }: Forecast): ForecastJson {
  return { given: given.map(judgedJson), next: next.map(nextJson), complete }
}

function judgedJson({ vaccine, on, counts }: JudgedDose): ForecastJson['given'][number] {
  return {
    vaccine,
    date: formatDay(on),
    counts: counts.map(({ series, dose, valid, reason }) => ({ series, dose, valid, reason })),
  }
}

function nextJson(next: NextDose): ForecastJson['next'][number] {
  return {
    series: next.series,
    dose: next.dose,
    vaccine: next.vaccine,
    earliest: formatDay(next.earliest),
    due: formatDay(next.due),
    overdue: next.overdue === null ? null : formatDay(next.overdue),
    latest: next.latest === null ? null : formatDay(next.latest),
    status: next.status,
  }
}
