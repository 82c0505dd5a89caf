import { excursions } from '../../core/cold-chain/excursions.ts'
import { endOfDay, startOfDay } from '../../core/days/day-bounds.ts'
import { addDays } from '../../core/days/day.ts'
import { stockOver } from '../../core/supplies/stock-over.ts'
import type { StockOver } from '../../core/supplies/stock-over.ts'
import { vialWaste } from '../../core/supplies/vial-wastage.ts'
import { closedVialWastage } from '../../core/supplies/wastage.ts'
import type { Wastage } from '../../core/supplies/wastage.ts'
import type { Product } from '../../core/vials/product.ts'
import { listFridges, listReadings } from '../../store/cold-chain.ts'
import type { Period } from '../../store/coverage.ts'
import { listHealthPosts } from '../../store/districts.ts'
import { countReactionsByVaccination } from '../../store/reactions.ts'
import { listVialsOpened } from '../../store/vials.ts'
import { csvText } from '../csv-text.ts'
import { watchPosts } from '../pages/data-check.ts'
import type { DistrictScope } from '../pages/district-scope.ts'
import { vialsNow } from '../vials/vial-shelf.ts'
import { stockNotesAt } from './stock-on-hand.ts'

/** One figure of WHO's indicators I40 to I45; docs/indicators.md says what is counted. */
export interface ServiceIndicator {
  readonly id: 'I40' | 'I41' | 'I42' | 'I43' | 'I44' | 'I45'
  /** The vaccine, the presentation or the post; ALL: the district. */
  readonly part: string
  readonly numerator: number
  /** Null: a count. */
  readonly denominator: number | null
  /** Unrounded; null where nothing can be divided. */
  readonly percent: number | null
  readonly note: string
}

interface Span extends Period {
  readonly from: Date
  readonly until: Date
}

/** How the stores, vials, refrigerators and sessions of a district did from one day to another, both included. */
export async function serviceIndicators(
  scope: DistrictScope,
  period: Period,
): Promise<readonly ServiceIndicator[]> {
  const zone = scope.district.timeZone
  const span = { ...period, from: startOfDay(period.fromOn, zone), until: endOfDay(period.toOn, zone) }
  return [
    ...(await ofStores(scope, span)),
    ...(await ofOpenedVials(scope, span)),
    await ofFridges(scope, span),
    ...(await ofReactions(scope, span)),
    ...(await ofSessions(scope, span)),
  ].sort((a, b) => (a.id < b.id ? -1 : Number(a.id > b.id)))
}

const HEADER = ['id', 'part', 'numerator', 'denominator', 'percent', 'note']

/** The same as a file. */
export function serviceIndicatorsCsv(indicators: readonly ServiceIndicator[]): string {
  const rows = indicators.map(({ id, part, numerator, denominator, percent, note }) => [
    id,
    part,
    String(numerator),
    denominator === null ? '' : String(denominator),
    percent === null ? '' : percent.toFixed(1),
    note,
  ])
  return csvText([HEADER, ...rows])
}

const percentOf = (part: number, whole: number): number | null => (whole === 0 ? null : (100 * part) / whole)

interface StoreOver {
  readonly postId: string
  readonly product: Product
  readonly over: StockOver
}

/** I40, in smallest doses of the vial, and I42. */
async function ofStores(scope: DistrictScope, span: Span): Promise<ServiceIndicator[]> {
  const { db, deps, district } = scope
  const posts = await listHealthPosts(db, district.id)
  const stores: StoreOver[] = []
  for (const { id } of posts) {
    for (const { product, events } of (await stockNotesAt(db, deps, { district, postId: id })).values()) {
      const over = stockOver(events, span)
      if (over !== undefined) stores.push({ postId: id, product, over })
    }
  }
  const counted = new Set(stores.map(({ postId }) => postId))
  const out = new Set(stores.filter(({ over }) => over.wasOut).map(({ postId }) => postId))
  const products = new Map(stores.map(({ product }) => [product.code, product]))
  return [
    ...[...products.values()].map((product) => closedWaste(product, stores)),
    {
      id: 'I42',
      part: 'ALL',
      numerator: counted.size - out.size,
      denominator: counted.size,
      percent: percentOf(counted.size - out.size, counted.size),
      note: `posts never out of a vaccine; ${posts.length - counted.size} that keep no count are left out`,
    },
  ]
}

function closedWaste(product: Product, stores: readonly StoreOver[]): ServiceIndicator {
  const own = stores.filter((store) => store.product.code === product.code).map(({ over }) => over)
  const byReason = new Map<string, number>()
  for (const { closedWasteVials } of own)
    for (const [reason, vials] of Object.entries(closedWasteVials))
      byReason.set(reason, (byReason.get(reason) ?? 0) + vials)
  const lost = [...byReason.values()].reduce((sum, vials) => sum + vials, 0)
  const stocked = own.reduce((sum, each) => sum + each.openingVials + each.receivedVials, 0)
  const numerator = lost * product.unitsPerVial
  const denominator = stocked * product.unitsPerVial
  const reasons = [...byReason].map(([reason, vials]) => `${reason} ${vials}`).sort()
  return {
    ...{ id: 'I40', part: product.code, numerator, denominator },
    ...rate(closedVialWastage(numerator, denominator), `vials lost: ${reasons.join(', ') || 'none'}`),
  }
}

function rate({ percent, isDataError }: Wastage, note: string): Pick<ServiceIndicator, 'percent' | 'note'> {
  return { percent, note: isDataError ? `${note}; the figures do not add up` : note }
}

/** I41, of the vials opened in the span. */
async function ofOpenedVials({ db, deps, district, now }: DistrictScope, span: Span) {
  const opened = await listVialsOpened(db, district.id, span.from, span.until)
  const vials = await vialsNow(db, deps.shelf, opened)
  const waste = vialWaste(
    vials.map(({ vial, open }) => ({ vaccine: vial.vaccine, open })),
    now,
  )
  return waste.map(({ vaccine, vials: count, heldUnits, givenUnits, wastage }): ServiceIndicator => ({
    ...{ id: 'I41', part: vaccine, numerator: heldUnits - givenUnits, denominator: heldUnits },
    ...rate(wastage, `vials opened: ${count}; those still in use are left out`),
  }))
}

/** I43: one works that was read in the span and was never outside its range for as long as the rules let pass. */
async function ofFridges({ db, deps, district }: DistrictScope, span: Span): Promise<ServiceIndicator> {
  const fridges = await listFridges(db, district.id, span.until)
  let works = 0
  let unread = 0
  for (const fridge of fridges) {
    const readings = await listReadings(db, fridge, span.from, span.until)
    if (readings.length === 0) unread += 1
    else if (excursions(readings, deps.shelf.coldChain).length === 0) works += 1
  }
  return {
    id: 'I43',
    part: 'ALL',
    numerator: works,
    denominator: fridges.length,
    percent: percentOf(works, fridges.length),
    note: `read, and within their range; not read: ${unread}`,
  }
}

/** I44, by the day of vaccination: a count. */
async function ofReactions({ db, district }: DistrictScope, { fromOn, toOn }: Span) {
  const counts = await countReactionsByVaccination(db, { districtId: district.id, from: fromOn, to: toOn })
  return counts.map(({ vaccine, isSerious, reports }): ServiceIndicator => ({
    ...{ id: 'I44', part: vaccine, numerator: reports, denominator: null, percent: null },
    note: isSerious ? 'serious' : 'not serious',
  }))
}

/** I45, of days that are over. */
async function ofSessions(scope: DistrictScope, { fromOn, toOn }: Span): Promise<ServiceIndicator[]> {
  const { today } = scope
  const posts = await watchPosts(scope, { fromOn, toOn: toOn < today ? toOn : addDays(today, -1) })
  const sums = posts.map(({ post, completion }) => ({ part: post.name, ...completion }))
  const sum = (field: 'held' | 'planned' | 'unplanned') => sums.reduce((all, each) => all + each[field], 0)
  const all = { part: 'ALL', held: sum('held'), planned: sum('planned'), unplanned: sum('unplanned') }
  return [...sums, all].map(({ part, held, planned, unplanned }) => ({
    ...{ id: 'I45', part, numerator: held, denominator: planned, percent: percentOf(held, planned) },
    note: `worked unplanned: ${unplanned}`,
  }))
}
