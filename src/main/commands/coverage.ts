import { type Command, Option } from 'commander'
import type { CoverageQuestion, CoverageReport } from '../../app/report-coverage.ts'
import { coverageTable } from '../../core/coverage/coverage-table.ts'
import type { IndicatorSettings } from '../../core/coverage/indicator-settings.ts'
import type { ReportWindow } from '../../core/coverage/report-window.ts'
import { formatDay } from '../../core/days/day.ts'
import { systemClock } from '../../platform/clock.ts'
import type { WindowOptions } from './window-options.ts'
import { addWindowOptions, windowAsked } from './window-options.ts'

interface Options extends WindowOptions, Pick<CoverageQuestion, 'byAge' | 'measure' | 'denominator' | 'sex'> {
  readonly format: 'table' | 'csv' | 'json' | 'xlsx'
  readonly published?: true
  readonly recount?: true
}

/** `duebell coverage`: coverage by village and series dose. */
export function addCoverageCommand(program: Command): void {
  addWindowOptions(
    program
      .command('coverage')
      .description(
        'Coverage by village and series dose, then for the district as a whole; docs/indicators.md says what counts.',
      ),
  )
    .addOption(
      new Option('--by-age <age>', 'only doses given before this age')
        .choices(['12m', '24m', 'any'])
        .default('any'),
    )
    .addOption(
      new Option('--measure <measure>', 'on record, counting under the schedule, or counting and in time')
        .choices(['crude', 'valid', 'timely'])
        .default('crude'),
    )
    .addOption(
      new Option('--denominator <which>', 'the target stated by the authority, or children on the register')
        .choices(['administrative', 'enrolled'])
        .default('administrative'),
    )
    .addOption(
      new Option('--sex <sex>', 'children of one sex, over the enrolled denominator').choices([
        'female',
        'male',
        'unknown',
      ]),
    )
    .addOption(new Option('--format <format>').choices(['table', 'csv', 'json', 'xlsx']).default('table'))
    .option('--published', 'as CSV for readers outside the programme: counts of few children are withheld')
    .option('--recount', 'first count every sum anew from the facts')
    .action(printCoverage)
}

async function printCoverage(options: Options): Promise<void> {
  const window = windowAsked(options)
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { reportCoverage } = await import('../../app/report-coverage.ts')
  const { recountCoverage } = await import('../../app/recount-coverage.ts')
  await withStore(async (store) => {
    const { shelf } = openDeps(store, systemClock, silentConveyor)
    const district = await districtNamed(store.db, options.district)
    if (options.recount === true)
      process.stderr.write(`${await recountCoverage({ database: store })} sums were put right\n`)
    const { byAge, measure, denominator, sex } = options
    const asked = { districtId: district.id, window, byAge, measure, denominator }
    const question = sex === undefined ? asked : { ...asked, sex }
    const report = await reportCoverage(store.db, shelf, question)
    process.stdout.write(await written(report, options, shelf.indicators))
  })
}

async function written(
  report: CoverageReport,
  { format, published }: Options,
  settings: IndicatorSettings,
): Promise<string | Buffer> {
  const { coverageCsv, coverageJson, coverageXlsx, publishedCsv } = await import('../../app/coverage-file.ts')
  if (published === true) return publishedCsv(report, settings)
  switch (format) {
    case 'csv':
      return coverageCsv(report)
    case 'json':
      return `${JSON.stringify(coverageJson(report), null, 2)}\n`
    case 'xlsx':
      return coverageXlsx(report)
    case 'table':
      return `${[title(report), ...sources(report), '', ...coverageTable(report.rows)].join('\n')}\n`
  }
}

function title({ district, question }: CoverageReport): string {
  const { window, byAge, measure, denominator, sex } = question
  const who = sex === undefined ? '' : `, ${sex} children`
  const age = byAge === 'any' ? '' : `, before ${byAge.slice(0, -1)} months of age`
  return `${district.name}: ${windowWords(window)}${who}, ${measure} doses${age}, ${denominator} denominators`
}

/** Who stated the targets, each source once. */
function sources({ villages }: CoverageReport): readonly string[] {
  const stated = villages.flatMap(({ source, year }) =>
    source === null ? [] : [year === null ? source : `${source}, ${year}`],
  )
  return stated.length === 0 ? [] : [`targets: ${[...new Set(stated)].join('; ')}`]
}

function windowWords(window: ReportWindow): string {
  switch (window.kind) {
    case 'register':
      return 'the whole register against one year’s target'
    case 'cohort':
      return `children born in ${window.birthYear}`
    case 'period':
      return `doses given from ${formatDay(window.fromOn)} to ${formatDay(window.toOn)}`
  }
}
