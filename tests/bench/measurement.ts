import { performance } from 'node:perf_hooks'

/** One line of the benchmark table. */
export interface Measurement {
  readonly name: string
  readonly ours: number
  readonly baseline: number
  /** Ours to the baseline. */
  readonly ratio: number
  readonly bound: number
  /** `null`: the bound speaks of another size than the one measured; `note` says which. */
  readonly ok: boolean | null
  readonly n: number
  readonly unit: string
  readonly note?: string
}

/** Which side of the bound is good. */
type Sense = 'at-least' | 'at-most'

interface Figures {
  readonly name: string
  readonly ours: number
  readonly baseline: number
  readonly n: number
  readonly unit: string
}

/** A line whose ratio, ours to the baseline, has to be at least or at most its bound. */
export function measured(figures: Figures, sense: Sense, bound: number): Measurement {
  const ratio = figures.ours / figures.baseline
  return { ...figures, ratio, bound, ok: sense === 'at-least' ? ratio >= bound : ratio <= bound }
}

/** The same line where its bound speaks of another size. */
export function notJudged(line: Measurement, note: string): Measurement {
  return { ...line, ok: null, note }
}

export function median(values: readonly number[]): number {
  return percentile(values, 0.5)
}

/** The value that a share of all values does not exceed. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((one, other) => one - other)
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN
}

/** How long some work takes, in milliseconds. */
export async function elapsed(work: () => unknown): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

/** The median times of two works done in turns, so that whatever else the machine does disturbs both alike. */
export async function inTurns(
  rounds: number,
  ours: () => unknown,
  baseline: () => unknown,
): Promise<{ readonly ours: number; readonly baseline: number }> {
  const times: { ours: number[]; baseline: number[] } = { ours: [], baseline: [] }
  for (let round = 0; round < rounds; round += 1) {
    times.ours.push(await elapsed(ours))
    times.baseline.push(await elapsed(baseline))
  }
  return { ours: median(times.ours), baseline: median(times.baseline) }
}
