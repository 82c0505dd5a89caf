import { simulate } from '../../src/core/simulation/simulate.ts'
import { districtOf } from '../../src/main/run-simulation.ts'
import { aPolicy } from '../support/default-policy.ts'
import { forecastVsJson } from './forecast-vs-json.ts'
import { measured, median } from './measurement.ts'
import type { Measurement } from './measurement.ts'

const ROUNDS = 5
/**
 * 100,000 children of 24 months, without texts and with them, plan some 2.24 million visits: a minute for them is
 * 37,000 visits a second, this share of the 300,000 forecasts a second of two ordinary cores.
 */
const BOUND = 0.12

/**
 * Planned visits that `duebell simulate` plays in a second of processor time, beside forecasts a second of the same
 * run; medians.
 */
export function simulateVisits(children: number): Measurement {
  const rates: Record<'ours' | 'baseline', number[]> = { ours: [], baseline: [] }
  const policies = [
    { name: 'no texts', policy: null },
    { name: 'default', policy: aPolicy() },
  ]
  let visits = 0
  for (let seed = 0; seed < ROUNDS; seed += 1) {
    const district = districtOf({
      ...{ schedule: 'who-2025-preferred', start: '2026-01-01', months: 24, seed },
      read: () => undefined,
    })
    const plan = { children, policies, shown: { series: ['PENTA'], dose: 3 } }
    let played = 0
    const start = process.cpuUsage()
    for (const { tally } of simulate(district, plan).policies) played += tally.kept + tally.missed
    const { user, system } = process.cpuUsage(start)
    visits += played
    rates.ours.push((played * 1e6) / (user + system))
    rates.baseline.push(forecastVsJson(80).ours)
  }
  // The first round warms the compiler up.
  const [ours, baseline] = [median(rates.ours.slice(1)), median(rates.baseline.slice(1))]
  return measured({ name: 'simulate-visits', ours, baseline, n: visits, unit: 'visits/s' }, 'at-least', BOUND)
}
