import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { PlannedDose } from '../core/model.ts'
import { plannedDoses } from './appointments.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { statement } from './statements.ts'

const row = z.object({
  child_id: z.string(),
  card_number: z.string(),
  name: z.string(),
  village: z.string(),
  missed_on: dayColumn,
  missed_visits: z.int(),
  doses: plannedDoses,
})
const defaulterRows = statement('list-defaulters', row)

/** A child who missed its last visit and has not come since. */
export interface MissedChild {
  readonly childId: string
  readonly cardNumber: string
  readonly name: string
  readonly village: string
  readonly missedOn: Day
  /** Visits missed in a row since the last dose. */
  readonly missedVisits: number
  readonly doses: readonly PlannedDose[]
}

export interface Area {
  readonly districtId: string
  readonly postId: string | null
  readonly villageId: string | null
}

/** Who has to be found, by village, longest waiting first. */
export async function listMissedChildren(db: Db, area: Area): Promise<MissedChild[]> {
  const rows = await defaulterRows(db, area.districtId, area.postId, area.villageId)
  return rows.map((found) => ({
    childId: found.child_id,
    cardNumber: found.card_number,
    name: found.name,
    village: found.village,
    missedOn: found.missed_on,
    missedVisits: found.missed_visits,
    doses: found.doses,
  }))
}
