import type { DoseInTable } from '../../app/pages/coverage-table.ts'
import type { DoseSheet } from '../../core/coverage/dose-sheet.ts'

/** A numbered dose as it stands in an address: `PENTA.3`. */
export function doseParam({ series, dose }: DoseInTable): string {
  return `${series}.${dose}`
}

/** The dose of a schedule that an address names. */
export function doseOf(sheet: DoseSheet, param: string | undefined): DoseInTable | undefined {
  return sheet.doses.find((dose) => doseParam(dose) === param)
}
