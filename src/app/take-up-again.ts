import { settleRestored } from '../store/restored.ts'
import type { SettledAfterRestore } from '../store/restored.ts'
import { closePassedVisits } from './close-passed-visits.ts'
import type { Deps } from './deps.ts'

/**
 * Makes a restored database fit to go on with. Between the backup and now texts may have left that the backup does not
 * know of: first everything is planned as of now, then what was due by now is ended as unknown, so that no family is
 * reminded twice. What is due later goes out as planned.
 */
export async function takeUpAgain(deps: Deps): Promise<SettledAfterRestore> {
  await closePassedVisits(deps)
  return deps.database.transaction((tx) => settleRestored(tx, deps.clock.now()))
}
