import { readFileSync } from 'node:fs'
import { z } from 'zod'
import type { Db } from './database.ts'

/** A SQL file as a function: parameters in, proven rows out. */
export type Statement<Parameters extends readonly unknown[], Row> = (
  db: Db,
  ...parameters: Parameters
) => Promise<Row[]>

/**
 * Binds `sql/<name>.sql` to the shape each of its rows must have; the file is read once, at start.
 * The declared type names the parameters in the order of `$1`, `$2`, …
 * @example
 * export const dueLines: Statement<[on: string, limit: number], DueLine> = statement('due-lines', DueLine)
 */
export function statement<Row>(name: string, row: z.ZodType<Row>): Statement<readonly unknown[], Row> {
  const sql = readFileSync(new URL(`sql/${name}.sql`, import.meta.url), 'utf8')
  const rows = z.array(row)
  return async (db, ...parameters) => rows.parse(await db.$queryRawUnsafe(sql, ...parameters))
}
