import { z } from 'zod'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

/** Logins of Postgres that may read the views of the schema `reporting` and nothing else. */

const made = statement('make-reporting-login', z.object({ made: z.string() }))
const ended = statement('end-reporting-login', z.object({ ended: z.boolean() }))

/** Makes a login, or gives one a new password: read-only, few connections, bounded time. */
export async function makeLogin(db: Db, name: string, password: string): Promise<void> {
  await made(db, name, password)
}

/** Ends a login; false when there is none of this name. */
export async function endLogin(db: Db, name: string): Promise<boolean> {
  const [row] = await ended(db, name)
  return row?.ended === true
}
