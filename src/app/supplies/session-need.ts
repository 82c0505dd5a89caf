import { vaccinesOf } from '../../core/appointments/next-appointment.ts'
import { addDays } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import type { Day } from '../../core/days/day.ts'
import type { District, HealthPost } from '../../core/model.ts'
import { carryList, materialsFor } from '../../core/supplies/carry-list.ts'
import type { Materials } from '../../core/supplies/carry-list.ts'
import { attendanceRange, monthVials, sessionVials } from '../../core/supplies/need.ts'
import type { Range } from '../../core/supplies/need.ts'
import { stockLevel } from '../../core/supplies/stock-level.ts'
import type { StockLevel } from '../../core/supplies/stock-level.ts'
import { plannedWastagePercent } from '../../core/supplies/supply-planning.ts'
import { unitsLeft } from '../../core/vials/open-vial.ts'
import { usableDoses, useFor } from '../../core/vials/product.ts'
import type { Product } from '../../core/vials/product.ts'
import { openLife } from '../../core/vials/vial-policy.ts'
import { listDue, listPastSessions } from '../../store/appointments.ts'
import type { DueChild } from '../../store/appointments.ts'
import type { Db } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { todayIn } from '../deps.ts'
import { productFor, vialPolicyOn } from '../vials/vial-shelf.ts'
import type { VialNow } from '../vials/vial-shelf.ts'
import { vialsInUse } from '../vials/view-vial.ts'
import { stockAt } from './stock-on-hand.ts'
import type { PostStock } from './stock-on-hand.ts'

/** What a post needs of one vaccine for its next session and its next month. */
export interface VaccineNeed {
  readonly vaccine: string
  readonly product: Product
  /** Children due at the next session. */
  readonly due: number
  readonly session: Range
  readonly month: Range
  /** Opened vials that still keep; the first is carried first and counts as one. */
  readonly openVials: number
  /** Number of the opened vial to be discarded first; null: none keeps. */
  readonly openNumber: number | null
  /** Closed vials to carry. */
  readonly carry: number
  /** Closed vials, in store or out at a session; null where the post has never counted. */
  readonly onHand: number | null
  /** The ledger of its presentation; null where the post has no entry. */
  readonly ledger: PostStock | null
  readonly stock: StockLevel | null
}

export interface PostNeed {
  readonly post: HealthPost
  /** Null: nobody is due within the month. */
  readonly on: Day | null
  /** Share of those due who are reckoned with. */
  readonly attendance: Range
  readonly needs: readonly VaccineNeed[]
  /** `3 BOPV, 2 FIPV(5)`. */
  readonly carry: string
  /** Numbers of the opened vials that are carried first. */
  readonly carryOpened: readonly number[]
  /** Syringes, diluents and boxes for those due. */
  readonly materials: Materials
}

const MONTH_DAYS = 30

interface NeedQuestion {
  readonly district: District
  readonly post: HealthPost
  /** Sessions from this day on; left out: from today. */
  readonly from?: Day
}

/** The vials a post needs: who is due × attendance × wastage factor ÷ doses per vial, rounded up. */
export async function needOfPost(
  db: Db,
  deps: Deps,
  { district, post, from = todayIn(deps, district) }: NeedQuestion,
): Promise<PostNeed> {
  const place = { districtId: district.id, postId: post.id }
  const to = addDays(from, MONTH_DAYS)
  const due = await listDue(db, { ...place, villageId: null, from, to })
  const days = due.map(({ sessionOn }) => sessionOn)
  const on = days.length === 0 ? null : days.reduce((first, day) => (day < first ? day : first))
  const question = {
    deps,
    district,
    on,
    attendance: await attendanceAt(db, deps, { district, post }),
    stock: await stockAt(db, deps, { district, postId: post.id }),
    open: await vialsInUse(db, deps, place),
  }
  const needs = [...countDue(due)]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([vaccine, byDay]) => needOf(question, vaccine, byDay))
  const carried = needs.filter(({ due: children }) => children > 0)
  const items = carried.map((need) => ({ ...need, vials: need.carry, doses: need.due }))
  const materials = materialsFor(items, deps.shelf.supplies)
  const carryOpened = [...new Set(carried.flatMap(({ openNumber }) => openNumber ?? []))]
  return { post, on, attendance: question.attendance, needs, carry: carryList(items), carryOpened, materials }
}

/** The share of those due who come to a post's sessions: its own past, or the planning range while that is short. */
async function attendanceAt(
  db: Db,
  deps: Deps,
  { district, post }: Pick<NeedQuestion, 'district' | 'post'>,
): Promise<Range> {
  const { attendance, ownAttendance } = deps.shelf.supplies
  const today = todayIn(deps, district)
  const past = await listPastSessions(db, {
    districtId: district.id,
    postId: post.id,
    from: addDays(today, -ownAttendance.withinDays),
    before: today,
    limit: ownAttendance.upToSessions,
  })
  return attendanceRange(past, attendance, ownAttendance.fromSessions)
}

/** Children for each vaccine, by day. */
function countDue(due: readonly DueChild[]): ReadonlyMap<string, ReadonlyMap<Day, number>> {
  const dues = new Map<string, Map<Day, number>>()
  for (const { sessionOn, doses } of due) {
    for (const vaccine of vaccinesOf(doses)) {
      const byDay = dues.get(vaccine) ?? new Map<Day, number>()
      dues.set(vaccine, byDay.set(sessionOn, (byDay.get(sessionOn) ?? 0) + 1))
    }
  }
  return dues
}

interface Question {
  readonly deps: Deps
  readonly district: District
  readonly on: Day | null
  readonly attendance: Range
  readonly stock: ReadonlyMap<string, PostStock>
  readonly open: readonly VialNow[]
}

function needOf(
  { deps, district, on, attendance, stock, open }: Question,
  vaccine: string,
  byDay: ReadonlyMap<Day, number>,
): VaccineNeed {
  const { supplies } = deps.shelf
  const product = productFor(deps.shelf, district, vaccine)
  const use = useFor(product, vaccine)
  const figures = {
    attendance,
    wastagePercent: plannedWastagePercent(product, supplies),
    dosesPerVial: use === undefined ? 1 : usableDoses(product, use),
  }
  const due = on === null ? 0 : (byDay.get(on) ?? 0)
  const session = sessionVials(due, figures)
  const life = openLife(product, vialPolicyOn(deps.shelf, district, todayIn(deps, district)))
  const month = monthVials([...byDay.values()], figures, life)
  // A vial past its time before the session is over is not to be counted on there.
  const lastsUntil = on === null ? deps.clock.now() : startOfDay(addDays(on, 1), district.timeZone)
  const kept = life.kind === 'days' ? open.filter((each) => keeps(each, vaccine, lastsUntil)) : []
  const openVials = kept.length
  const ledger = stock.get(product.code) ?? null
  const onHand = ledger === null ? null : ledger.storeVials + ledger.outVials
  return {
    vaccine,
    product,
    due,
    session,
    month,
    openVials,
    openNumber: kept[0]?.vial.number ?? null,
    carry: Math.max(0, session.expected - Math.min(1, openVials)),
    onHand,
    ledger,
    stock: onHand === null ? null : stockLevel(onHand, session, month.expected, supplies),
  }
}

function keeps({ vial, open }: VialNow, vaccine: string, until: Date): boolean {
  const isFor = useFor(open.product, vaccine) !== undefined
  return isFor && vial.discardBy.at >= until && unitsLeft(open) > 0
}
