import { z } from 'zod'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

const answerRows = statement('answer', z.object({ answer: z.int() }))

/** Whether the database answers at all. */
export async function answers(db: Db): Promise<boolean> {
  return (await answerRows(db)).length === 1
}
