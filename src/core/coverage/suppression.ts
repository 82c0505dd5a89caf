/**
 * What may be published without pointing at a child (HL7 EHR-S FM POP.2.3#08, TI.1.8.1#01). Figures for those who
 * look after the children are never suppressed; these are for everyone else.
 */
import type { CoverageRow } from './coverage-rows.ts'
import { ALL_VILLAGES } from './coverage-rows.ts'

/** A row that may go out; `null` stands where a figure is withheld. */
export interface PublishedRow extends Pick<CoverageRow, 'village' | 'series' | 'dose' | 'denominator'> {
  readonly numerator: number | null
  readonly percent: number | null
}

/** How small a group may be, and whether the denominators count real children (then those missing count too). */
export interface PublishingRule {
  readonly countAtLeast: number
  readonly isDenominatorCounted: boolean
}

/**
 * Withholds counts of one to `countAtLeast` − 1 children, and, of counted denominators, as few children missing.
 * Where the rest of a column and its total would give a withheld count away, the next smallest village goes with
 * it; where no village is left to hide behind, the total goes.
 */
export function publishedRows(rows: readonly CoverageRow[], rule: PublishingRule): readonly PublishedRow[] {
  const withheld = new Set(columns(rows).flatMap((column) => withheldIn(column, rule)))
  return rows.map((row) => {
    const { village, series, dose, denominator } = row
    const isWithheld = withheld.has(row)
    const numerator = isWithheld ? null : row.numerator
    return { village, series, dose, denominator, numerator, percent: isWithheld ? null : row.percent }
  })
}

/** Rows of one series dose: those that add up to its total. */
function columns(rows: readonly CoverageRow[]): readonly (readonly CoverageRow[])[] {
  const byDose = new Map<string, CoverageRow[]>()
  for (const row of rows) {
    const key = JSON.stringify([row.series, row.dose])
    byDose.set(key, [...(byDose.get(key) ?? []), row])
  }
  return [...byDose.values()]
}

function withheldIn(column: readonly CoverageRow[], rule: PublishingRule): readonly CoverageRow[] {
  const villages = column.filter((row) => row.village !== ALL_VILLAGES)
  const total = column.filter((row) => row.village === ALL_VILLAGES)
  const withheld = villages.filter((row) => isSmall(row, rule))
  const others = villages
    .filter((row) => !withheld.includes(row))
    .sort((a, b) => a.numerator - b.numerator || (a.village < b.village ? -1 : 1))
  while (withheld.length > 0 && isGivenAway(withheld, rule)) {
    const next = others.shift()
    if (next === undefined) return [...withheld, ...total]
    withheld.push(next)
  }
  return [...withheld, ...total.filter((row) => isSmall(row, rule))]
}

/** Subtraction from the total yields the sum of the withheld: it must hide each of them, and be no small group itself. */
function isGivenAway(withheld: readonly CoverageRow[], rule: PublishingRule): boolean {
  const had = withheld.reduce((sum, row) => sum + row.numerator, 0)
  const missed = withheld.reduce((sum, row) => sum + (row.denominator ?? 0) - row.numerator, 0)
  if (withheld.length < 2 || had < rule.countAtLeast) return true
  return rule.isDenominatorCounted && missed < rule.countAtLeast
}

function isSmall(row: Pick<CoverageRow, 'numerator' | 'denominator'>, rule: PublishingRule): boolean {
  if (isFew(row.numerator, rule)) return true
  if (!rule.isDenominatorCounted || row.denominator === null) return false
  return isFew(row.denominator - row.numerator, rule) || isFew(row.denominator, rule)
}

const isFew = (count: number, rule: PublishingRule): boolean => count > 0 && count < rule.countAtLeast
