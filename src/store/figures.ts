/** Counts behind the pages: doses by month, texts by village, and what is odd about the data. */
import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import type { Period } from './coverage.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { statement } from './statements.ts'

const monthRow = z
  .object({ village_id: z.string(), month_on: dayColumn, dose: z.int(), crude: z.int() })
  .transform(({ village_id, month_on, dose, crude }) => ({
    villageId: village_id,
    monthOn: month_on,
    dose,
    children: crude,
  }))
const monthRows = statement('count-doses-by-month', monthRow)

/** Children who had a dose of a series in a month, by village. */
export type MonthCount = z.output<typeof monthRow>

export interface MonthsAsked {
  readonly districtId: string
  readonly villageId: string | null
  readonly series: string
  readonly period: Period
}

export function countDosesByMonth(db: Db, asked: MonthsAsked): Promise<MonthCount[]> {
  const { districtId, villageId, series, period } = asked
  return monthRows(db, districtId, villageId, formatDay(period.fromOn), formatDay(period.toOn), series)
}

const textShape = { texts: z.int(), parts: z.int(), delivered: z.int(), lost: z.int() }

/** Texts that were sent: how many, in how many parts, and what became of them. */
export interface TextCount {
  readonly texts: number
  readonly parts: number
  readonly delivered: number
  /** Known not to have arrived, or too late to send. */
  readonly lost: number
}

const villageTextRow = z
  .object({ village_id: z.string(), village: z.string(), ...textShape })
  .transform(({ village_id, ...count }) => ({ villageId: village_id, ...count }))
const villageTextRows = statement('count-texts-by-village', villageTextRow)

/** Texts about children since an instant, for each village. */
export function countTextsByVillage(
  db: Db,
  districtId: string,
  since: Date,
): Promise<z.output<typeof villageTextRow>[]> {
  return villageTextRows(db, districtId, since)
}

const purposeRow = z.object({ purpose: z.enum(['reminder', 'reply', 'alert', 'list']), ...textShape })
const purposeRows = statement('count-texts-by-purpose', purposeRow)

/** Texts since an instant, for each purpose. */
export function countTextsByPurpose(
  db: Db,
  districtId: string,
  since: Date,
): Promise<z.output<typeof purposeRow>[]> {
  return purposeRows(db, districtId, since)
}

const waitingRow = z
  .object({ waiting: z.int(), texted_children: z.int() })
  .transform(({ waiting, texted_children }) => ({ waiting, textedChildren: texted_children }))
const waitingRows = statement('count-texts-waiting', waitingRow)

/** Texts overdue for leaving, and children whose families are texted. */
export async function countTextsWaiting(
  db: Db,
  districtId: string,
  now: Date,
): Promise<z.output<typeof waitingRow>> {
  return (await waitingRows(db, districtId, now))[0] ?? { waiting: 0, textedChildren: 0 }
}

const textInRow = z.object({ problem: z.string().nullable(), texts: z.int() })
const textInRows = statement('count-texts-in', textInRow)

/** Texts that came in since an instant, by what hindered them. */
export function countTextsIn(db: Db, districtId: string, since: Date): Promise<z.output<typeof textInRow>[]> {
  return textInRows(db, districtId, since)
}

const uncountedRow = z
  .object({
    village_id: z.string(),
    village: z.string(),
    reason: z.string(),
    doses: z.int(),
    explained: z.int(),
    given: z.int(),
  })
  .transform(({ village_id, ...row }) => ({ villageId: village_id, ...row }))
const uncountedRows = statement('count-uncounted-doses', uncountedRow)

/** Doses given since a day that do not count, by village and reason, of how many, and how many of them for a reason. */
export function countUncountedDoses(
  db: Db,
  districtId: string,
  since: Day,
): Promise<z.output<typeof uncountedRow>[]> {
  return uncountedRows(db, districtId, formatDay(since))
}

const workedRows = statement('list-days-worked', z.object({ post_id: z.string(), given_on: dayColumn }))

/** The days on which each post reported doses, by post. */
export async function listDaysWorked(
  db: Db,
  districtId: string,
  { fromOn, toOn }: Period,
): Promise<ReadonlyMap<string, readonly Day[]>> {
  const days = new Map<string, Day[]>()
  for (const { post_id, given_on } of await workedRows(db, districtId, formatDay(fromOn), formatDay(toOn)))
    days.set(post_id, [...(days.get(post_id) ?? []), given_on])
  return days
}

const delayRows = statement('list-delays', z.object({ what: z.enum(['report', 'enrolment']), days: z.int() }))

/** Days from dose to report and from birth to enrolment, of those made since an instant. */
export async function listDelays(
  db: Db,
  districtId: string,
  since: Date,
): Promise<{ readonly reports: readonly number[]; readonly enrolments: readonly number[] }> {
  const rows = await delayRows(db, districtId, since)
  const of = (what: 'report' | 'enrolment') => rows.filter((row) => row.what === what).map(({ days }) => days)
  return { reports: of('report'), enrolments: of('enrolment') }
}
