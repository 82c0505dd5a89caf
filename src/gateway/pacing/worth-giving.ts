/** How fast a gateway takes texts, or parts of them. */
export interface Pacing {
  /** So many may wait for an answer at one time. */
  readonly window: number
  /** `null` is as fast as the window allows. */
  readonly perSecond: number | null
}

/** More than this would wait in memory for longer than it takes to fetch it. */
const MOST_AT_ONCE = 500
/** So many windows' worth of texts are given at once where there is no limit to the rate. */
const WINDOWS_AT_ONCE = 5
/** So many seconds' worth where there is one. */
const SECONDS_AT_ONCE = 5

/** How many texts are worth giving a gateway at once. */
export function worthGiving({ window, perSecond }: Pacing): number {
  const wanted = perSecond === null ? WINDOWS_AT_ONCE * window : SECONDS_AT_ONCE * perSecond
  return Math.min(MOST_AT_ONCE, Math.max(10, Math.ceil(wanted)))
}
