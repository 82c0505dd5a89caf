import type { CoverageRow } from '../core/coverage/coverage-rows.ts'
import { ALL_VILLAGES } from '../core/coverage/coverage-rows.ts'
import type { IndicatorSettings } from '../core/coverage/indicator-settings.ts'
import { percentText } from '../core/coverage/shown-ratio.ts'
import { say } from '../core/texts/phrases.ts'
import type { PhraseBook } from '../core/texts/phrases.ts'
import type { CoverageReport } from './report-coverage.ts'

export interface CoverageTextAsked {
  /** Null: the whole district. */
  readonly villageName: string | null
  /** The window in words. */
  readonly period: string
  readonly settings: IndicatorSettings
  readonly book: PhraseBook
}

/** Coverage of a place in one text: first and third DTP-containing dose, first measles dose. */
export function coverageText(
  { district, rows }: Pick<CoverageReport, 'district' | 'rows'>,
  { villageName, period, settings, book }: CoverageTextAsked,
): string {
  const place = villageName ?? district.name
  const own = rows.filter((row) => row.village === (villageName ?? ALL_VILLAGES))
  const { zeroDose, underVaccinated, dropoutPairs } = settings
  const measles = dropoutPairs.find((pair) => pair.name === 'mcv-1-2')
  const shown = [zeroDose, underVaccinated, ...(measles === undefined ? [] : [measles.first])].flatMap(
    ({ series, dose }) => own.find((row) => series.includes(row.series) && row.dose === dose) ?? [],
  )
  const lines = shown.flatMap((row) => lineOf(book, row))
  if (lines.length === 0) return say(book, 'coverage-none', { place })
  return [say(book, 'coverage-is', { place, period }), ...lines].join('\n')
}

function lineOf(book: PhraseBook, { series, dose, numerator, denominator }: CoverageRow): string[] {
  if (denominator === null || denominator === 0) return []
  const facts = { dose: `${series} ${dose}`, reached: numerator, target: Math.round(denominator) }
  return [say(book, 'coverage-line', { ...facts, percent: percentText(numerator, denominator) })]
}
