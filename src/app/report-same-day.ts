import type { CoverageRatio } from '../core/coverage/coverage-ratio.ts'
import { ALL_VILLAGES } from '../core/coverage/coverage-rows.ts'
import { pairsOn } from '../core/coverage/dose-pair.ts'
import type { DosePair } from '../core/coverage/dose-pair.ts'
import type { ReportWindow } from '../core/coverage/report-window.ts'
import { areDueTogether, sameDayShare } from '../core/coverage/same-day.ts'
import { readPairs, readVillageTargets } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { sheetOf } from './count-children.ts'
import { dosesIn } from './report-coverage.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import type { Shelf } from './shelf.ts'

/** One pair of doses due together in one village, or in the whole district. */
export interface SameDayRow extends CoverageRatio {
  readonly village: string
  /** As the data file names it: `dtp-1-opv-1`. */
  readonly pair: string
  readonly doses: DosePair
}

/**
 * Of the children who had two doses that the schedule has due together, those who had them on one day, by village
 * (docs/indicators.md). A period asks for children who had the first dose of the pair in it.
 * @throws {Refusal} district-not-found, schedule-not-found
 */
export async function reportSameDay(
  db: Db,
  shelf: Pick<Shelf, 'schedules' | 'indicators'>,
  question: { readonly districtId: string; readonly window: ReportWindow },
): Promise<readonly SameDayRow[]> {
  const { id: districtId, scheduleCode } = await getDistrict(db, question.districtId)
  const sheet = sheetOf(shelf, newestOf(await versionsOf(db, shelf, scheduleCode)))
  const villages = await readVillageTargets(db, districtId)
  const { sameDayPairs, smallNumberBelow } = shelf.indicators
  const rows: SameDayRow[] = []
  for (const { name: pair, doses } of pairsOn(sheet, sameDayPairs)) {
    if (!areDueTogether(doses)) continue
    const children = await readPairs(db, { districtId, ...dosesIn(question.window) }, doses)
    for (const { id, name: village } of villages) {
      const own = children.filter(({ villageId }) => villageId === id)
      rows.push({ village, pair, doses, ...sameDayShare(own, smallNumberBelow) })
    }
    rows.push({ village: ALL_VILLAGES, pair, doses, ...sameDayShare(children, smallNumberBelow) })
  }
  return rows
}
