import { FAMILY_HEARS, NOBODY_HEARS } from '../core/reminders/preference.ts'
import type { Db } from '../store/database.ts'
import { failingNumbers } from '../store/dead-letters.ts'
import { numbersOfChildren } from '../store/follow-lists.ts'

/** Those of some children whose every phone is one that no text reaches. */
export async function withFailingPhone(db: Db, childIds: readonly string[]): Promise<ReadonlySet<string>> {
  const numbers = await numbersOfChildren(db, childIds)
  const failing = await failingNumbers(db, [...numbers.values()].flat())
  return new Set(
    [...numbers].filter(([, own]) => own.every((number) => failing.has(number))).map(([id]) => id),
  )
}

/** Those of some children whose family wants to be reminded by nobody. */
export async function wantsNoReminder(db: Db, childIds: readonly string[]): Promise<ReadonlySet<string>> {
  return new Set((await numbersOfChildren(db, childIds, NOBODY_HEARS)).keys())
}

/** Those of some children of whose visits the family hears by text: it has a phone that wants them and gets them. */
export async function reachedByText(db: Db, childIds: readonly string[]): Promise<ReadonlySet<string>> {
  const numbers = await numbersOfChildren(db, childIds, FAMILY_HEARS)
  const failing = await failingNumbers(db, [...numbers.values()].flat())
  return new Set(
    [...numbers].filter(([, own]) => own.some((number) => !failing.has(number))).map(([id]) => id),
  )
}
