import { recountSums } from '../store/coverage.ts'
import type { Deps } from './deps.ts'

/** A recount of a country's register takes minutes; an hour means that something is wrong. */
const LONGEST_MS = 3_600_000

/**
 * Counts every coverage sum anew from the facts and puts right what differs; answers how many sums were wrong.
 * Readers see the old sums until it is done; doses are recorded meanwhile.
 */
export function recountCoverage(deps: Pick<Deps, 'database'>): Promise<number> {
  return deps.database.transaction(recountSums, { timeout: LONGEST_MS })
}
