import { readFileSync, writeFileSync } from 'node:fs'
import { type Command, InvalidArgumentError, Option } from 'commander'
import { Refusal } from '../../core/refusals.ts'

interface Options {
  readonly children: number
  readonly months: number
  readonly seed: number
  readonly start: string
  readonly schedule: string
  readonly policy: readonly string[]
  readonly effect?: string
  readonly assumptions?: string
  readonly price: number
  readonly format: 'table' | 'json'
  readonly svg?: string
}

const wholeNumber =
  (least: number, most: number) =>
  (text: string): number => {
    const value = Number(text)
    if (/^\d+$/.test(text) && value >= least && value <= most) return value
    throw new InvalidArgumentError(`It has to be a whole number from ${least} to ${most}.`)
  }

function price(text: string): number {
  const value = Number(text)
  if (Number.isFinite(value) && value >= 0) return value
  throw new InvalidArgumentError('It has to be a number that is not negative.')
}

/** `duebell simulate`: a district over years, with and without reminders. */
export function addSimulateCommand(program: Command): void {
  program
    .command('simulate')
    .description(
      'Plays an invented district in memory, the same children without texts and under each reminder policy; docs/scaling.md says what it assumes.',
    )
    .option('--children <number>', 'born evenly over the months', wholeNumber(1, 10_000_000), 10_000)
    .option('--months <number>', 'how long it is played', wholeNumber(13, 120), 24)
    .option('--seed <number>', 'the same seed gives the same figures', wholeNumber(0, 2 ** 31 - 1), 1)
    .option('--start <day>', 'the first day', '2026-01-01')
    .option('--schedule <id>', 'a schedule by its id or file', 'who-2025-preferred')
    .option(
      '--policy <files...>',
      'reminder policies to compare, each by its name or file; src/data/policies/default.json is one',
      ['default'],
    )
    .option(
      '--effect <finding>',
      'a published effect by its name, or how many times as likely a reminded family comes',
    )
    .option(
      '--assumptions <file>',
      'what the district is like, in place of src/data/simulation/assumptions.json',
    )
    .option('--price <number>', 'of one part of a text', price, 0.03)
    .addOption(new Option('--format <format>').choices(['table', 'json']).default('table'))
    .option('--svg <file>', 'also draws coverage by age into a file')
    .action(async (options: Options) => {
      const { runSimulation } = await import('../run-simulation.ts')
      const { lines, chart } = runSimulation({ ...options, read: readJson })
      if (options.svg !== undefined) writeFileSync(options.svg, chart())
      process.stdout.write(`${lines.join('\n')}\n`)
    })
}

function readJson(file: string): unknown {
  try {
    const data: unknown = JSON.parse(readFileSync(file, 'utf8'))
    return data
  } catch (cause) {
    throw new Refusal('input-invalid', `${file} cannot be read as JSON.`, { cause })
  }
}
