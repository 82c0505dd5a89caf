import { firstOfMonth } from '../core/coverage/report-window.ts'
import { say } from '../core/texts/phrases.ts'
import { claimBudgetWarning } from '../store/budget-warnings.ts'
import { listDistricts } from '../store/districts.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { budgetNow, spendingOf } from './spending.ts'
import { tellPeople } from './tell-people.ts'

/** Tells the managers of a district, once a month, that its budget of texts is nearly used up (`warnFrom`). */
export async function warnOfBudget(deps: Deps): Promise<void> {
  const { db } = deps.database
  const now = deps.clock.now()
  for (const district of await listDistricts(db)) {
    const spending = await spendingOf(db, deps.shelf, district.id)
    if (spending.partsPerMonth === null) continue
    const { isWarned, share } = await budgetNow(db, spending, district, now)
    if (!isWarned || share === null) continue
    await deps.database.transaction(async (tx) => {
      const monthOn = firstOfMonth(todayIn(deps, district))
      const isFirst = await claimBudgetWarning(tx, { districtId: district.id, monthOn, at: now })
      if (!isFirst) return
      const percent = String(Math.floor(100 * share))
      await tellPeople(tx, deps, district, {
        roles: ['manager'],
        say: (book) => say(book, 'budget-low', { percent }),
        purpose: 'alert',
      })
    })
  }
}
