import { findDose } from './dose-sheet.ts'
import type { DoseName, DoseSheet, SheetDose } from './dose-sheet.ts'

/** Two doses that an indicator looks at together. */
export interface DosePair {
  readonly first: SheetDose
  readonly later: SheetDose
}

/** A pair as the data file names it. */
interface PairName {
  readonly name: string
  readonly first: DoseName
  readonly later: DoseName
}

/** Those of the named pairs of which the schedule has both doses. */
export function pairsOn(
  sheet: DoseSheet,
  pairs: readonly PairName[],
): readonly { readonly name: string; readonly doses: DosePair }[] {
  return pairs.flatMap(({ name, ...names }) => {
    const first = findDose(sheet, names.first)
    const later = findDose(sheet, names.later)
    return first === undefined || later === undefined ? [] : [{ name, doses: { first, later } }]
  })
}
