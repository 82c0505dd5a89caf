import type { DoseSheet, SheetDose } from '../../src/core/coverage/dose-sheet.ts'

/** A dose of a sheet with whatever a test does not mention: for all children, after birth, never late. */
export function aSheetDose(series: string, dose: number, more: Partial<SheetDose> = {}): SheetDose {
  return {
    series,
    dose,
    base: 'surviving-infants',
    dueAge: { months: 0, days: 42, text: '6 weeks' },
    lateFrom: null,
    isInfantDose: true,
    ...more,
  }
}

/** A sheet of these doses, in this order. */
export function aSheet(...doses: readonly SheetDose[]): DoseSheet {
  return { monthEnd: 'roll', doses }
}
