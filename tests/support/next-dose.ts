import type { Day } from '../../src/core/days/day.ts'
import type { Limit, NextDose } from '../../src/core/schedule/forecast-types.ts'

interface Known {
  readonly series: string
  readonly dose?: number
  readonly vaccine?: string
  readonly earliest: Day
  readonly due: Day
  readonly latest?: Day | null
  readonly status?: NextDose['status']
}

/** A forecast row for tests that care about its days and not about how they were reckoned. */
export function aNextDose({ series, dose = 1, vaccine = series, latest = null, ...rest }: Known): NextDose {
  const limit = (on: Day): Limit => ({ on, add: { months: 0, days: 0, text: '0 days' }, since: 'birth' })
  return {
    series,
    dose,
    vaccine,
    latest,
    overdue: null,
    status: 'due',
    limits: {
      earliest: limit(rest.earliest),
      due: limit(rest.due),
      overdue: null,
      latest: latest === null ? null : limit(latest),
    },
    ...rest,
  }
}
