/** Counts of entries: doses given by their parts, reasons, statuses, delays, completeness. */
import { z } from 'zod'
import { formatDay } from '../core/days/day.ts'
import type { Period } from './coverage.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { statement } from './statements.ts'

const reasonRow = z
  .object({ village_id: z.string(), village: z.string(), reason: z.string(), times: z.int() })
  .transform(({ village_id, ...row }) => ({ villageId: village_id, ...row }))
const reasonRows = statement('count-doses-not-given', reasonRow)

/** How often a coded reason kept a dose from being given, in a village. */
export type NotGivenCount = z.output<typeof reasonRow>

export function countNotGiven(
  db: Db,
  districtId: string,
  { fromOn, toOn }: Period,
): Promise<NotGivenCount[]> {
  return reasonRows(db, districtId, formatDay(fromOn), formatDay(toOn))
}

const closedRow = z.object({ status: z.string(), reason: z.string().nullable(), children: z.int() })
const closedRows = statement('count-closed-children', closedRow)

/** Children no longer followed, by status and reason. */
export type ClosedCount = z.output<typeof closedRow>

export async function countClosed(db: Db, districtId: string): Promise<ClosedCount[]> {
  const counts = new Map<string, ClosedCount>()
  for (const { status, reason, children } of await closedRows(db, districtId)) {
    const key = `${status} ${reason ?? ''}`
    counts.set(key, { status, reason, children: children + (counts.get(key)?.children ?? 0) })
  }
  return [...counts.values()]
}

const entryRow = z
  .object({
    post_id: z.string(),
    post: z.string(),
    month_on: dayColumn,
    doses: z.int(),
    within_1: z.int(),
    within_7: z.int(),
    within_30: z.int(),
    children: z.int(),
    complete: z.int(),
  })
  .transform(({ post_id, month_on, within_1, within_7, within_30, ...row }) => ({
    postId: post_id,
    monthOn: month_on,
    within: [within_1, within_7, within_30] as const,
    ...row,
  }))
const entryRows = statement('count-entries-by-post', entryRow)

/** A post's entries of a month: doses by how soon they were told (1, 7, 30 days), children by how complete. */
export type EntryCount = z.output<typeof entryRow>

export function countEntries(db: Db, districtId: string, since: Date): Promise<EntryCount[]> {
  return entryRows(db, districtId, since)
}

export const BREAKDOWNS = [
  'village',
  'post',
  'vaccine',
  'maker',
  'lot',
  'sex',
  'age',
  'delivery',
  'month',
] as const
export type Breakdown = (typeof BREAKDOWNS)[number]

const partRow = z.object({ part: z.string(), doses: z.int() })
const partRows = statement('count-doses-given', partRow)

/** Doses of one part: a village, a vaccine, an age. */
export type DosePart = z.infer<typeof partRow>

export function countDosesGiven(
  db: Db,
  districtId: string,
  { fromOn, toOn, by }: Period & { readonly by: Breakdown },
): Promise<DosePart[]> {
  return partRows(db, districtId, formatDay(fromOn), formatDay(toOn), by)
}

const birthRow = z
  .object({
    birth_on: dayColumn,
    birth_minute: z.int().nullable(),
    given_on: dayColumn.nullable(),
    given_minute: z.int().nullable(),
    sent_at: z.date().nullable(),
  })
  .transform((row) => ({
    birthOn: row.birth_on,
    birthMinute: row.birth_minute,
    givenOn: row.given_on,
    givenMinute: row.given_minute,
    /** When the dose was told. */
    sentAt: row.sent_at,
  }))
const birthRows = statement('list-birth-doses', birthRow)

/** A birth and the first dose of a vaccine after it. */
export type BirthDose = z.output<typeof birthRow>

export function listBirthDoses(
  db: Db,
  districtId: string,
  { fromOn, toOn, vaccine }: Period & { readonly vaccine: string },
): Promise<BirthDose[]> {
  return birthRows(db, districtId, formatDay(fromOn), formatDay(toOn), vaccine)
}

const delayRows = statement('list-enrolment-delays', z.object({ village: z.string(), days: z.int() }))

/** Days from birth to enrolment, one row for each child born in a period. */
export function listEnrolmentDelays(
  db: Db,
  districtId: string,
  { fromOn, toOn }: Period,
): Promise<{ readonly village: string; readonly days: number }[]> {
  return delayRows(db, districtId, formatDay(fromOn), formatDay(toOn))
}
