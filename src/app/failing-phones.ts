import type { Db } from '../store/database.ts'
import { failingNumbers } from '../store/dead-letters.ts'
import { numbersOfChildren } from '../store/follow-lists.ts'

/** Those of some children whose every phone is one that no text reaches. */
export async function withFailingPhone(db: Db, childIds: readonly string[]): Promise<ReadonlySet<string>> {
  if (childIds.length === 0) return new Set()
  const numbers = await numbersOfChildren(db, childIds)
  const failing = await failingNumbers(db, [...numbers.values()].flat())
  return new Set(
    [...numbers].filter(([, own]) => own.every((number) => failing.has(number))).map(([id]) => id),
  )
}
