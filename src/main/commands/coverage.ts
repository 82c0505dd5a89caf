import { type Command, InvalidArgumentError, Option } from 'commander'
import type { AreaReport } from '../../app/report-area-coverage.ts'
import type { CoverageQuestion, CoverageReport } from '../../app/report-coverage.ts'
import type { ShapeShown } from '../../core/coverage/areas.ts'
import { areaTable, coverageTable } from '../../core/coverage/coverage-table.ts'
import type { IndicatorSettings } from '../../core/coverage/indicator-settings.ts'
import type { ReportWindow } from '../../core/coverage/report-window.ts'
import { formatDay } from '../../core/days/day.ts'
import { Refusal } from '../../core/refusals.ts'
import { systemClock } from '../../platform/clock.ts'
import type { WindowOptions } from './window-options.ts'
import { addWindowOptions, windowAsked } from './window-options.ts'

interface Options extends WindowOptions, Pick<CoverageQuestion, 'byAge' | 'measure' | 'denominator' | 'sex'> {
  readonly by: 'village' | 'area'
  readonly level?: number
  readonly shape: ShapeShown
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
        'Coverage by village or area and series dose, then for the district as a whole; docs/indicators.md says what counts.',
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
    .addOption(
      new Option('--by <place>', 'by village, or by area: each adds up its villages')
        .choices(['village', 'area'])
        .default('village'),
    )
    .addOption(
      new Option('--level <number>', 'with --by area: only areas of this level, 1 at the top').argParser(
        readLevel,
      ),
    )
    .addOption(
      new Option(
        '--shape <when>',
        'with --by area: areas as drawn when the doses were given, or as they are now',
      )
        .choices(['then', 'now'])
        .default('then'),
    )
    .addOption(new Option('--format <format>').choices(['table', 'csv', 'json', 'xlsx']).default('table'))
    .option(
      '--published',
      'by village, as CSV for readers outside the programme: counts of few children are withheld',
    )
    .option('--recount', 'first count every sum anew from the facts')
    .action(printCoverage)
}

async function printCoverage(options: Options): Promise<void> {
  const window = windowAsked(options)
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { todayIn } = await import('../../app/deps.ts')
  const { reportCoverage } = await import('../../app/report-coverage.ts')
  const { recountCoverage } = await import('../../app/recount-coverage.ts')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const { shelf } = deps
    const district = await districtNamed(store.db, options.district)
    if (options.recount === true)
      process.stderr.write(`${await recountCoverage({ database: store })} sums were put right\n`)
    const { byAge, measure, denominator, sex } = options
    const asked = { districtId: district.id, window, byAge, measure, denominator }
    const question = sex === undefined ? asked : { ...asked, sex }
    if (options.by === 'area') {
      const { level = null, shape: shown } = options
      if (options.published === true)
        throw new Refusal('input-invalid', 'Published figures are by village; leave --by area out.')
      const asOf = todayIn(deps, district)
      const { reportAreaCoverage } = await import('../../app/report-area-coverage.ts')
      const report = await reportAreaCoverage(store.db, shelf, { ...question, level, shown, asOf })
      process.stdout.write(await writtenByArea(report, options.format))
      return
    }
    const report = await reportCoverage(store.db, shelf, question)
    process.stdout.write(await written(report, options, shelf.indicators))
  })
}

async function writtenByArea(report: AreaReport, format: Options['format']): Promise<string | Buffer> {
  const { areaCsv, areaJson, areaXlsx } = await import('../../app/coverage-file.ts')
  switch (format) {
    case 'csv':
      return areaCsv(report)
    case 'json':
      return `${JSON.stringify(areaJson(report), null, 2)}\n`
    case 'xlsx':
      return areaXlsx(report)
    case 'table':
      return `${[title(report), ...sources(report), '', ...areaTable(report.rows)].join('\n')}\n`
  }
}

function readLevel(text: string): number {
  if (!/^[1-9]\d?$/.test(text)) throw new InvalidArgumentError('Write a level as 1, which is the top.')
  return Number(text)
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

function title({ district, question }: Pick<CoverageReport, 'district' | 'question'>): string {
  const { window, byAge, measure, denominator, sex } = question
  const who = sex === undefined ? '' : `, ${sex} children`
  const age = byAge === 'any' ? '' : `, before ${byAge.slice(0, -1)} months of age`
  return `${district.name}: ${windowWords(window)}${who}, ${measure} doses${age}, ${denominator} denominators`
}

/** Who stated the targets, each source once. */
function sources({ villages }: Pick<CoverageReport, 'villages'>): readonly string[] {
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
