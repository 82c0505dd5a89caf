import type { CoverageReport } from '../../app/report-coverage.ts'
import { percentText } from '../../core/coverage/shown-ratio.ts'

/** The doses a manager looks at first. */
const SHOWN = [
  { series: 'BCG', dose: 1 },
  { series: 'PENTA', dose: 1 },
  { series: 'PENTA', dose: 3 },
  { series: 'IPV', dose: 2 },
  { series: 'OPV', dose: 3 },
  { series: 'MR', dose: 1 },
] as const

const NAME_WIDTH = 12
const CELL_WIDTH = 16

/** Coverage by village as a table for the terminal: percent, and children over target. */
export function coverageTable({ rows }: Pick<CoverageReport, 'rows'>): string[] {
  const villages = [...new Set(rows.map((row) => row.village))]
  const title = [
    'village'.padEnd(NAME_WIDTH),
    ...SHOWN.map(({ series, dose }) => `${series} ${dose}`.padStart(CELL_WIDTH)),
  ]
  const lines = villages.map((village) => {
    const cells = SHOWN.map(({ series, dose }) => {
      const row = rows.find(
        (each) => each.village === village && each.series === series && each.dose === dose,
      )
      if (row === undefined || row.denominator === null) return '-'.padStart(CELL_WIDTH)
      const children = `${row.numerator}/${Math.round(row.denominator)}`
      return `${percentText(row.numerator, row.denominator)}% ${children.padStart(8)}`.padStart(CELL_WIDTH)
    })
    return [village.padEnd(NAME_WIDTH), ...cells].join('')
  })
  return [title.join(''), ...lines]
}
