import { addMonths } from '../../core/days/day.ts'
import type { Village } from '../../core/model.ts'
import { listDoseHolders } from '../../store/follow-lists.ts'
import type { DoseHolder } from '../../store/follow-lists.ts'
import type { DistrictScope } from './district-scope.ts'

/** A child on the register with the day of one numbered dose. */
export type ChildByDose = DoseHolder

const YEARS = 5
const MOST_ROWS = 2000

/** The followed children under five of a village, with or without a dose: the names behind a figure. */
export function childrenByDose(
  { db, district, today }: DistrictScope,
  village: Village,
  dose: { readonly series: string; readonly dose: number; readonly hadIt: boolean | null },
): Promise<readonly ChildByDose[]> {
  return listDoseHolders(db, {
    districtId: district.id,
    villageId: village.id,
    bornFrom: addMonths(today, -12 * YEARS),
    bornTo: today,
    series: dose.series,
    dose: dose.dose,
    hadIt: dose.hadIt,
    limit: MOST_ROWS,
  })
}
