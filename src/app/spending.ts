/** What texts take and cost in a district, month by month. */
import { DateTime } from 'luxon'
import { checkData } from '../core/checked-data.ts'
import { budgetState, priceOf, spendingSchema } from '../core/delivery/spending.ts'
import type { BudgetState, Spending } from '../core/delivery/spending.ts'
import type { District } from '../core/model.ts'
import type { Db, Transaction } from '../store/database.ts'
import { findSetting, putSetting } from '../store/settings.ts'
import { countPartsSince, countTextsByStart } from '../store/spending.ts'
import type { TextsByStart } from '../store/spending.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import type { Shelf } from './shelf.ts'

/** What a district set, or what ships. */
export async function spendingOf(
  db: Db,
  shelf: Pick<Shelf, 'spending'>,
  districtId: string,
): Promise<Spending> {
  const own = checkData(spendingSchema, await findSetting(db, districtId, 'spending'))
  return own.kind === 'valid' ? own.value : shelf.spending
}

export interface SpendingChange {
  readonly districtId: string
  readonly spending: Spending
  readonly by: string
}

/** From now on the district spends so. */
export async function setSpending(tx: Transaction, deps: Deps, change: SpendingChange): Promise<void> {
  const { districtId, spending, by } = change
  const before = await spendingOf(tx, deps.shelf, districtId)
  await putSetting(tx, {
    districtId,
    name: 'spending',
    value: spending,
    changedBy: by,
    changedAt: deps.clock.now(),
  })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'set-spending',
    subject: { kind: 'district', id: districtId },
    before: factsOf(before),
    after: factsOf(spending),
  })
}

const factsOf = ({ partsPerMonth, prices }: Spending) => ({ partsPerMonth, prices: JSON.stringify(prices) })

type Place = Pick<District, 'id' | 'timeZone'>

/** Where a district stands in the budget of the month it now is there. */
export async function budgetNow(
  db: Db,
  spending: Spending,
  { id, timeZone }: Place,
  now: Date,
): Promise<BudgetState> {
  const since = DateTime.fromJSDate(now, { zone: timeZone }).startOf('month').toJSDate()
  return budgetState(spending, await countPartsSince(db, id, since))
}

/** What the texts of one village through one operator took. */
export interface SpendingRow {
  /** Null: about no child of a village. */
  readonly village: string | null
  /** Null: no price is set for such numbers. */
  readonly operator: string | null
  readonly texts: number
  readonly parts: number
  readonly cost: number
  /** Of 100 texts; null where there are none. */
  readonly deliveredPercent: number | null
}

export interface SpendingReport {
  /** As 2026-03. */
  readonly month: string
  readonly currency: string
  readonly budget: BudgetState & { readonly partsPerMonth: number | null }
  readonly rows: readonly SpendingRow[]
}

/** Texts, parts, cost and what arrived in a month (`2026-03`; null: this one), by village and operator. */
export async function spendingReport(
  db: Db,
  { shelf, clock }: Pick<Deps, 'shelf' | 'clock'>,
  district: Place,
  month: string | null,
): Promise<SpendingReport> {
  const zone = district.timeZone
  const start = (
    month === null ? DateTime.fromJSDate(clock.now(), { zone }) : DateTime.fromISO(month, { zone })
  ).startOf('month')
  const spending = await spendingOf(db, shelf, district.id)
  const counts = await countTextsByStart(db, district.id, {
    from: start.toJSDate(),
    until: start.plus({ months: 1 }).toJSDate(),
  })
  const rows = rowsOf(spending, counts)
  const parts = rows.reduce((total, row) => total + row.parts, 0)
  const { partsPerMonth, currency } = spending
  return {
    month: start.toFormat('yyyy-MM'),
    currency,
    budget: { ...budgetState(spending, parts), partsPerMonth },
    rows,
  }
}

interface Sum extends Omit<SpendingRow, 'deliveredPercent'> {
  readonly delivered: number
}

/** Numbers of one operator may start in several ways. */
function rowsOf(spending: Spending, counts: readonly TextsByStart[]): SpendingRow[] {
  const sums = new Map<string, Sum>()
  for (const { village, numberStart, texts, parts, delivered } of counts) {
    const price = priceOf(spending, numberStart)
    const operator = price?.operator ?? null
    const key = JSON.stringify([village, operator])
    const sum = sums.get(key) ?? { village, operator, texts: 0, parts: 0, cost: 0, delivered: 0 }
    sums.set(key, {
      ...sum,
      texts: sum.texts + texts,
      parts: sum.parts + parts,
      cost: sum.cost + parts * (price?.perPart ?? 0),
      delivered: sum.delivered + delivered,
    })
  }
  return [...sums.values()].map(({ delivered, ...row }) => ({
    ...row,
    deliveredPercent: row.texts === 0 ? null : (100 * delivered) / row.texts,
  }))
}
