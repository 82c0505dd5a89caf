import type { AreaRow, ShapedCounts } from '../core/coverage/area-rows.ts'
import { areaRows } from '../core/coverage/area-rows.ts'
import { shapedWindows } from '../core/coverage/areas.ts'
import type { ShapeShown } from '../core/coverage/areas.ts'
import type { Day } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import { listShapes } from '../store/areas.ts'
import { readVillageTargets } from '../store/coverage.ts'
import type { TargetedVillage } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { sheetOf } from './count-children.ts'
import { countedPlaces } from './report-coverage.ts'
import type { CoverageQuestion } from './report-coverage.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import type { Shelf } from './shelf.ts'

export interface AreaQuestion extends CoverageQuestion {
  /** 1 is the top; `null`: every area, each before its parts. */
  readonly level: number | null
  readonly shown: ShapeShown
  readonly asOf: Day
}

export interface AreaReport {
  readonly district: District
  readonly question: AreaQuestion
  readonly villages: readonly TargetedVillage[]
  readonly rows: readonly AreaRow[]
}

/**
 * Coverage by area and series dose. A period in which areas were drawn anew is counted part by part, each in its own shape,
 * unless the shape of today is asked for. Without areas only the district as a whole is left.
 * @throws {Refusal} district-not-found
 */
export async function reportAreaCoverage(
  db: Db,
  shelf: Pick<Shelf, 'schedules' | 'indicators'>,
  question: AreaQuestion,
): Promise<AreaReport> {
  const district = await getDistrict(db, question.districtId)
  const { window, level, shown, asOf: today } = question
  const villages = await readVillageTargets(db, district.id)
  const drawn = await listShapes(db, district.id)
  const shapes = drawn.length === 0 ? [{ fromOn: today, areas: [], areaOf: {} }] : drawn
  const parts: ShapedCounts[] = []
  for (const part of shapedWindows(window, shapes, { shown, today })) {
    const places = await countedPlaces(db, villages, { ...question, window: part.window })
    parts.push({ shape: part.shape, places })
  }
  const { doses } = sheetOf(shelf, newestOf(await versionsOf(db, shelf, district.scheduleCode)))
  const rows = areaRows(parts, doses, { level, smallNumberBelow: shelf.indicators.smallNumberBelow })
  return { district, question, villages, rows }
}
