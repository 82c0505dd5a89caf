import { firstOfMonth } from '../core/coverage/report-window.ts'
import type { District } from '../core/model.ts'
import { say } from '../core/texts/phrases.ts'
import { claimBudgetWarning } from '../store/budget-warnings.ts'
import type { Transaction } from '../store/database.ts'
import { listDistricts } from '../store/districts.ts'
import { listPeople } from '../store/people.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { queueText } from './queue-text.ts'
import { bookFor } from './shelf.ts'
import { budgetNow, spendingOf } from './spending.ts'

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
      if (isFirst) await warn(tx, deps, district, share)
    })
  }
}

async function warn(tx: Transaction, deps: Deps, district: District, share: number): Promise<void> {
  const managers = (await listPeople(tx, district.id)).filter(({ role }) => role === 'manager')
  for (const person of managers) {
    const book = bookFor(deps.shelf, district, person.language)
    const body = say(book, 'budget-low', { percent: String(Math.floor(100 * share)) })
    await queueText(tx, deps, { district, person, body, purpose: 'alert' })
  }
}
