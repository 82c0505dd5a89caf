import type { Db } from './database.ts'

/** Plain values of a record before or after a change. */
export type Facts = Readonly<Record<string, string | number | boolean | null>>

export interface NewChange {
  readonly id: string
  readonly districtId: string | null
  readonly happenedAt: Date
  readonly actor: string
  readonly act: string
  readonly subjectKind: string
  readonly subjectId: string
  readonly before: Facts | null
  readonly after: Facts | null
}

export async function insertChange(db: Db, change: NewChange): Promise<void> {
  const { before, after, ...rest } = change
  await db.change.create({
    data: { ...rest, ...(before === null ? {} : { before }), ...(after === null ? {} : { after }) },
  })
}
