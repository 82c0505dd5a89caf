import { z } from 'zod'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

const settled = z.object({ settled: z.int() })
const settleReminders = statement('settle-restored-reminders', settled)
const settleTexts = statement('settle-restored-texts', settled)

export interface SettledAfterRestore {
  readonly reminders: number
  readonly texts: number
}

/** Ends, as unknown, what was due before `now` and may have left after the backup was taken. */
export async function settleRestored(db: Db, now: Date): Promise<SettledAfterRestore> {
  const [reminders] = await settleReminders(db, now)
  const [texts] = await settleTexts(db, now)
  return { reminders: reminders?.settled ?? 0, texts: texts?.settled ?? 0 }
}
