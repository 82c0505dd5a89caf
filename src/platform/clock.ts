/** The machine's clock: the only place that reads the time. */
export const systemClock = { now: (): Date => new Date() }
