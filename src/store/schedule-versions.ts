import type { Day } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { toDate } from './days.ts'

export interface NewScheduleVersion {
  readonly id: string
  readonly code: string
  readonly effectiveOn: Day
  /** The schedule file as it was published. */
  readonly data: object
  readonly publishedBy: string
  readonly publishedAt: Date
}

/** False when a version of this code for this day is there already. */
export async function insertScheduleVersion(db: Db, version: NewScheduleVersion): Promise<boolean> {
  const data = { ...version, effectiveOn: toDate(version.effectiveOn) }
  return (await db.scheduleVersion.createMany({ data, skipDuplicates: true })).count === 1
}

export interface PublishedVersion {
  readonly id: string
  readonly data: unknown
}

/** The published versions of a schedule, oldest first. */
export async function listScheduleVersions(db: Db, code: string): Promise<PublishedVersion[]> {
  return db.scheduleVersion.findMany({
    where: { code },
    select: { id: true, data: true },
    orderBy: { effectiveOn: 'asc' },
  })
}

export async function listPublishedCodes(db: Db): Promise<string[]> {
  const rows = await db.scheduleVersion.findMany({ distinct: ['code'], select: { code: true } })
  return rows.map((row) => row.code)
}
