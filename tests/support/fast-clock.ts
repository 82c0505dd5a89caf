import type { Clock } from '../../src/app/ports.ts'

/** A clock that several processes go by: at the real instant FAST_FROM it showed FAST_START. Both are ISO. */
export interface FastClockSettings {
  readonly FAST_FROM?: string
  readonly FAST_START?: string
  /** How many times as fast as a real one it runs. */
  readonly FAST_TIMES?: string
}

/** The clock that these settings describe. */
export function fastClock({ FAST_FROM = '', FAST_START = '', FAST_TIMES = '1' }: FastClockSettings): Clock {
  const [from, start] = [new Date(FAST_FROM).getTime(), new Date(FAST_START).getTime()]
  return { now: () => new Date(start + (Date.now() - from) * Number(FAST_TIMES)) }
}
