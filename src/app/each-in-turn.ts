import type { Transaction } from '../store/database.ts'
import type { Deps } from './deps.ts'

/**
 * Works through children batch by batch, each in a transaction of its own; answers how many were done. One that fails
 * is noted and left for the next time, and holds up nobody.
 */
export async function eachInTurn(
  deps: Deps,
  list: () => Promise<readonly string[]>,
  work: (tx: Transaction, childId: string) => Promise<unknown>,
): Promise<number> {
  const failed = new Set<string>()
  let done = 0
  for (;;) {
    const ids = (await list()).filter((id) => !failed.has(id))
    if (ids.length === 0) return done
    for (const id of ids) {
      try {
        await deps.database.transaction((tx) => work(tx, id))
        done += 1
      } catch (error) {
        failed.add(id)
        deps.log.error('a child could not be worked on', { child: id, error })
      }
    }
  }
}
