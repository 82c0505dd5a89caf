/** In which minutes of an hour a role did its work: bit n for minute n. */
export interface HourUp {
  readonly role: string
  readonly hourMs: number
  readonly minutes: bigint
}

/** Minutes in a row in which something was missing. */
export interface Pause {
  readonly fromMs: number
  readonly minutes: number
}

export interface Availability {
  readonly expectedMinutes: number
  readonly upMinutes: number
  /** Null where nothing was expected yet. */
  readonly ratio: number | null
  /** Oldest first. */
  readonly pauses: readonly Pause[]
}

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS

/** Counts whole minutes from `fromMs` to `toMs`, both on a minute, in which all of `roles` worked. */
export function availabilityOf(
  hours: readonly HourUp[],
  roles: readonly string[],
  fromMs: number,
  toMs: number,
): Availability {
  const masks = roles.map(
    (role) => new Map(hours.filter((each) => each.role === role).map((each) => [each.hourMs, each.minutes])),
  )
  const isUp = (atMs: number): boolean => {
    const hourMs = atMs - (atMs % HOUR_MS)
    const bit = BigInt((atMs - hourMs) / MINUTE_MS)
    return masks.every((mask) => (((mask.get(hourMs) ?? 0n) >> bit) & 1n) === 1n)
  }
  const pauses: Pause[] = []
  let upMinutes = 0
  let downFromMs: number | null = null
  for (let atMs = fromMs; atMs < toMs; atMs += MINUTE_MS) {
    if (isUp(atMs)) {
      upMinutes += 1
      if (downFromMs !== null) pauses.push(pause(downFromMs, atMs))
      downFromMs = null
    } else downFromMs ??= atMs
  }
  if (downFromMs !== null) pauses.push(pause(downFromMs, toMs))
  const expectedMinutes = Math.max(0, (toMs - fromMs) / MINUTE_MS)
  return {
    expectedMinutes,
    upMinutes,
    ratio: expectedMinutes === 0 ? null : upMinutes / expectedMinutes,
    pauses,
  }
}

const pause = (fromMs: number, toMs: number): Pause => ({ fromMs, minutes: (toMs - fromMs) / MINUTE_MS })

/** The first minute in which anything worked; null where nothing ever did. */
export function firstMinuteUp(hours: readonly HourUp[]): number | null {
  const starts = hours
    .filter(({ minutes }) => minutes > 0n)
    .map(({ hourMs, minutes }) => hourMs + lowestBit(minutes) * MINUTE_MS)
  return starts.reduce<number | null>((first, at) => (first === null ? at : Math.min(first, at)), null)
}

function lowestBit(mask: bigint): number {
  let bit = 0
  while (((mask >> BigInt(bit)) & 1n) === 0n) bit += 1
  return bit
}
