import type { Day } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { toDate } from './days.ts'

/** Claims the summary of a district's month; false when it was made before. */
export async function claimMonthSummary(
  db: Db,
  { districtId, monthOn, at }: { readonly districtId: string; readonly monthOn: Day; readonly at: Date },
): Promise<boolean> {
  const data = [{ districtId, monthOn: toDate(monthOn), madeAt: at }]
  return (await db.monthSummary.createMany({ data, skipDuplicates: true })).count === 1
}
