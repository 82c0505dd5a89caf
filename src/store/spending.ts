import { z } from 'zod'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

const partRows = statement('count-parts-since', z.object({ parts: z.int() }))

/** Parts that left, or are about to, since an instant. */
export async function countPartsSince(db: Db, districtId: string, since: Date): Promise<number> {
  return (await partRows(db, districtId, since))[0]?.parts ?? 0
}

const startRow = z.object({
  /** Null: about no child of a village. */
  village: z.string().nullable(),
  number_start: z.string(),
  texts: z.int(),
  parts: z.int(),
  delivered: z.int(),
})
const startRows = statement('count-texts-by-village-and-start', startRow)

export interface TextsByStart {
  readonly village: string | null
  readonly numberStart: string
  readonly texts: number
  readonly parts: number
  readonly delivered: number
}

export async function countTextsByStart(
  db: Db,
  districtId: string,
  { from, until }: { readonly from: Date; readonly until: Date },
): Promise<TextsByStart[]> {
  const rows = await startRows(db, districtId, from, until)
  return rows.map(({ number_start, ...row }) => ({ ...row, numberStart: number_start }))
}
