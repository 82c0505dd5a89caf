import { fridgeMonthChart } from '../../core/cold-chain/fridge-month-chart.ts'
import { missingReadings } from '../../core/cold-chain/missing-readings.ts'
import { endOfDay, startOfDay } from '../../core/days/day-bounds.ts'
import { addDays, addMonths, civilDate, dayOf } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { listFridges, listReadings } from '../../store/cold-chain.ts'
import { listHealthPosts } from '../../store/districts.ts'
import type { DistrictScope } from './district-scope.ts'

/** One refrigerator in one month. */
export interface FridgeMonthView {
  readonly post: string
  readonly fridge: string
  readonly svg: string
  /** Half-days without a reading. */
  readonly missing: number
}

/** The refrigerators of a district in the month of a day. */
export async function fridgeMonths(scope: DistrictScope, on: Day): Promise<readonly FridgeMonthView[]> {
  const { db, deps, district, now } = scope
  const { year, month } = civilDate(on)
  const first = dayOf(year, month, 1) ?? on
  const zone = district.timeZone
  const from = startOfDay(first, zone)
  const until = endOfDay(addDays(addMonths(first, 1), -1), zone)
  const posts = new Map((await listHealthPosts(db, district.id)).map(({ id, name }) => [id, name]))
  const rules = deps.shelf.coldChain
  const views: FridgeMonthView[] = []
  for (const name of await listFridges(db, district.id)) {
    const readings = await listReadings(db, name, from, until)
    const post = posts.get(name.postId) ?? ''
    const title = `${post}, refrigerator ${name.fridge}, ${month}/${year}`
    const words = { title, tooCold: 'too cold', tooWarm: 'too warm' }
    const span = { fromOn: first, until: now < until ? now : until, zone }
    const readAt = readings.map(({ at }) => at)
    views.push({
      post,
      fridge: name.fridge,
      svg: fridgeMonthChart(readings, { year, month, zone, words }, rules),
      missing: from > now ? 0 : missingReadings(readAt, span, rules).length,
    })
  }
  return views
}
