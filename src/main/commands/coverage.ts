import { type Command, InvalidArgumentError, Option } from 'commander'
import type { CoverageQuestion, CoverageReport } from '../../app/report-coverage.ts'
import { windowOf } from '../../core/coverage/report-window.ts'
import type { ReportWindow } from '../../core/coverage/report-window.ts'
import { coverageTable } from '../../core/coverage/coverage-table.ts'
import type { Day } from '../../core/days/day.ts'
import { formatDay, parseDay } from '../../core/days/day.ts'
import { Refusal } from '../../core/refusals.ts'
import { systemClock } from '../../platform/clock.ts'

interface Options extends Pick<CoverageQuestion, 'byAge' | 'measure' | 'denominator' | 'sex'> {
  readonly district?: string
  readonly cohort?: number
  readonly from?: Day
  readonly to?: Day
  readonly format: 'table' | 'csv' | 'json' | 'xlsx'
  readonly recount?: true
}

/** `duebell coverage`: coverage by village and series dose. */
export function addCoverageCommand(program: Command): void {
  program
    .command('coverage')
    .description(
      'Coverage by village and series dose, then for the district as a whole; docs/indicators.md says what counts.',
    )
    .option('--district <name>', 'the district; needed where there are several')
    .addOption(
      new Option('--cohort <year>', 'children born in this year; without it or a period, the whole register')
        .argParser(readYear)
        .conflicts(['from', 'to']),
    )
    .addOption(new Option('--from <day>', 'doses given from this day on, as 2026-01-31').argParser(readDay))
    .addOption(new Option('--to <day>', 'doses given up to this day, itself included').argParser(readDay))
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
    .option('--recount', 'first count every sum anew from the facts')
    .action(printCoverage)
}

function readYear(text: string): number {
  if (!/^[12]\d{3}$/.test(text)) throw new InvalidArgumentError('Write a year as 2025.')
  return Number(text)
}

function readDay(text: string): Day {
  const day = parseDay(text)
  if (day === undefined) throw new InvalidArgumentError('Write a day as 2026-01-31.')
  return day
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
    process.stdout.write(await written(await reportCoverage(store.db, shelf, question), options.format))
  })
}

/** @throws {Refusal} input-invalid */
function windowAsked(options: Options): ReportWindow {
  const window = windowOf(options)
  if (window !== undefined) return window
  throw new Refusal(
    'input-invalid',
    'A period has a first and a last day: give --from and --to, in this order.',
  )
}

async function written(report: CoverageReport, format: Options['format']): Promise<string | Buffer> {
  const { coverageCsv, coverageJson, coverageXlsx } = await import('../../app/coverage-file.ts')
  switch (format) {
    case 'csv':
      return coverageCsv(report)
    case 'json':
      return `${JSON.stringify(coverageJson(report), null, 2)}\n`
    case 'xlsx':
      return coverageXlsx(report)
    case 'table':
      return `${[title(report), '', ...coverageTable(report.rows)].join('\n')}\n`
  }
}

function title({ district, question }: CoverageReport): string {
  const { window, byAge, measure, denominator, sex } = question
  const who = sex === undefined ? '' : `, ${sex} children`
  const age = byAge === 'any' ? '' : `, before ${byAge.slice(0, -1)} months of age`
  return `${district.name}: ${windowWords(window)}${who}, ${measure} doses${age}, ${denominator} denominators`
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
