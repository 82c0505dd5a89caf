/** What one check found. */
export interface Finding {
  readonly check: CheckName
  readonly verdict: Verdict
  /** What is the case. */
  readonly found: string
  /** What to do; null where nothing is. */
  readonly advice: string | null
}

/** `bad` stops the work or loses data, `doubtful` will. */
export type Verdict = 'good' | 'doubtful' | 'bad'

export const CHECKS = [
  'answers',
  'database',
  'redis',
  'clock',
  'gateway',
  'disk',
  'time-zones',
  'backup',
  'transport',
  'releases',
] as const
export type CheckName = (typeof CHECKS)[number]

export const good = (check: CheckName, found: string): Finding => ({
  check,
  verdict: 'good',
  found,
  advice: null,
})

export const bad = (check: CheckName, found: string, advice: string): Finding => ({
  check,
  verdict: 'bad',
  found,
  advice,
})

export const doubtful = (check: CheckName, found: string, advice: string): Finding => ({
  check,
  verdict: 'doubtful',
  found,
  advice,
})

/** Why something did not work, without what it was told: that may be a secret. */
export function reasonOf(error: unknown): string {
  if (typeof error === 'object' && error !== null && 'code' in error && typeof error.code === 'string')
    return error.code
  return error instanceof Error ? error.name : 'no answer'
}
