import type { Day } from '../core/days/day.ts'
import type { Db } from './database.ts'
import { toDate } from './days.ts'

/** Claims the warning of a district's month; false when its managers were warned before. */
export async function claimBudgetWarning(
  db: Db,
  { districtId, monthOn, at }: { readonly districtId: string; readonly monthOn: Day; readonly at: Date },
): Promise<boolean> {
  const data = [{ districtId, monthOn: toDate(monthOn), warnedAt: at }]
  return (await db.budgetWarning.createMany({ data, skipDuplicates: true })).count === 1
}
