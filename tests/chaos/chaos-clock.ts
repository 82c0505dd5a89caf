import { performance } from 'node:perf_hooks'
import type { Clock } from '../../src/app/ports.ts'

/** A clock that runs from an instant of its own, and jumps when told to. */
export interface ChaosClock extends Clock {
  /** What stands between it and the machine's clock, in milliseconds; processes agree by telling it. */
  readonly offsetMs: () => number
  readonly setOffset: (ms: number) => void
}

/** A clock that stands so far from the machine's own. */
export function chaosClock(offsetMs: number): ChaosClock {
  let offset = offsetMs
  // Every process of a machine counts from the same instant, whatever its wall clock is set to meanwhile.
  const real = (): number => performance.timeOrigin + performance.now()
  return {
    now: () => new Date(real() + offset),
    offsetMs: () => offset,
    setOffset: (ms) => {
      offset = ms
    },
  }
}
