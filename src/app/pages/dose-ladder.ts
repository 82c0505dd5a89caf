import { findDose } from '../../core/coverage/dose-sheet.ts'
import type { DoseSheet, SheetDose } from '../../core/coverage/dose-sheet.ts'
import type { IndicatorSettings } from '../../core/coverage/indicator-settings.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Schedule } from '../../core/schedule/schedule.ts'
import { sheetOf } from '../count-children.ts'
import { newestOf, versionsOf } from '../schedule-versions.ts'
import type { DistrictScope } from './district-scope.ts'

/** The DTP-containing series of a district: what reach and dropout are read off. */
export interface DoseLadder {
  /** Who has it was reached at all. */
  readonly first: SheetDose
  /** It completes the infant series. */
  readonly last: SheetDose
  /** From the first to the last. */
  readonly steps: readonly SheetDose[]
}

/** The schedule a district is measured by. */
export async function scheduleIn({ deps, db, district }: DistrictScope): Promise<Schedule> {
  return newestOf(await versionsOf(db, deps.shelf, district.scheduleCode))
}

/** The doses a district's figures are about. */
export async function sheetIn(scope: DistrictScope): Promise<DoseSheet> {
  return sheetOf(scope.deps.shelf, await scheduleIn(scope))
}

/** @throws {Refusal} dose-not-found when the schedule has no such series */
export function ladderOf(sheet: DoseSheet, { zeroDose, underVaccinated }: IndicatorSettings): DoseLadder {
  const first = findDose(sheet, zeroDose)
  const last = findDose(sheet, underVaccinated)
  if (first === undefined || last === undefined)
    throw new Refusal('dose-not-found', 'The schedule of the district has no DTP-containing series to show.')
  const steps = sheet.doses.filter(
    ({ series, dose }) => series === first.series && dose >= first.dose && dose <= last.dose,
  )
  return { first, last, steps }
}

export async function ladderIn(scope: DistrictScope): Promise<DoseLadder> {
  return ladderOf(await sheetIn(scope), scope.deps.shelf.indicators)
}
