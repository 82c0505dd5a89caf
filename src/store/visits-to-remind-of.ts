import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import { plannedDoses } from './appointments.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { statement } from './statements.ts'

const visitRow = z
  .object({
    line_id: z.string(),
    preference: z.string(),
    birth_on: dayColumn,
    village: z.string(),
    session_on: dayColumn,
    schedule_code: z.string(),
    doses: plannedDoses,
  })
  .transform(({ line_id, birth_on, session_on, schedule_code, ...row }) => ({
    ...row,
    lineId: line_id,
    birthOn: birth_on,
    visitOn: session_on,
    scheduleCode: schedule_code,
  }))
/** A visit to come and a line that is reminded of it. */
export type VisitOfLine = z.output<typeof visitRow>

const rows = statement('list-visits-to-remind-of', visitRow)

export function listVisitsToRemindOf(db: Db, districtId: string, from: Day, to: Day): Promise<VisitOfLine[]> {
  return rows(db, districtId, formatDay(from), formatDay(to))
}
