import { z } from 'zod'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

const holdNames = statement('hold', z.object({ held: z.string() }))

/** Holds names for the rest of the transaction: whoever wants one of them meanwhile waits. */
export async function hold(db: Db, names: readonly string[]): Promise<void> {
  await holdNames(db, [...names])
}
