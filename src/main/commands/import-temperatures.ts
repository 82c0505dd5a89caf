import { readFileSync } from 'node:fs'
import type { Command } from 'commander'
import type { LoggerImport } from '../../app/cold-chain/import-logger.ts'
import type { RowProblem } from '../../core/cold-chain/logger-rows.ts'
import { systemClock } from '../../platform/clock.ts'
import { problemWriter } from './problem-writer.ts'

interface Options {
  readonly post: string
  readonly fridge: string
  readonly time: string
  readonly celsius: string
  readonly district?: string
}

const ADVICE: Readonly<Record<RowProblem['code'], string>> = {
  'column-missing': 'Name the column as the first line of the file has it: --time, --celsius.',
  'time-unreadable': 'Write the time as 2026-03-02 10:00, or with its offset.',
  'temperature-unreadable': 'Write degrees Celsius as a number.',
  'temperature-impossible': 'No refrigerator is at this temperature; look at the sensor.',
}

/** `duebell import-temperatures FILE`: takes a logger's table over. */
export function addImportTemperaturesCommand(program: Command): void {
  program
    .command('import-temperatures')
    .description(
      "Takes a temperature logger's table over. Good rows go in, bad ones are listed; doing it again changes nothing.",
    )
    .argument('<file>', 'a .csv file (RFC 4180, UTF-8) whose first line names its columns')
    .requiredOption('--post <name>', 'the health post')
    .option('--fridge <name>', 'the refrigerator, as the post calls it', '1')
    .option('--time <column>', 'the column of the time', 'time')
    .option('--celsius <column>', 'the column of the temperature', 'celsius')
    .option('--district <name>', 'the district; needed where there are several')
    .action(importTemperaturesFile)
}

async function importTemperaturesFile(file: string, options: Options): Promise<void> {
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { batchRun } = await import('../../app/batch-run.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { postNamed } = await import('../../app/post-in.ts')
  const { importLogger } = await import('../../app/cold-chain/import-logger.ts')
  const csv = readFileSync(file, 'utf8')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const district = await districtNamed(store.db, options.district)
    const { id: postId } = await postNamed(store.db, district.id, options.post)
    const { fridge, time, celsius } = options
    const by = 'import-temperatures'
    const order = { district, postId, fridge, columns: { time, celsius }, csv, by }
    await batchRun(deps, by, async () => {
      const result = await store.transaction((tx) => importLogger(tx, deps, order))
      report(result)
      return { stored: result.stored, refused: linesIn(result) }
    })
  })
}

const linesIn = ({ problems }: LoggerImport): number => new Set(problems.map(({ line }) => line)).size

function report(result: LoggerImport): void {
  const write = problemWriter()
  for (const problem of result.problems) write({ ...problem, advice: ADVICE[problem.code] })
  process.stderr.write(`${result.stored} readings stored, ${linesIn(result)} rows refused\n`)
  for (const { code, worstC, fromAt, untilAt } of result.excursions)
    process.stderr.write(
      `${code}: ${worstC} C at worst, ${fromAt.toISOString()} to ${untilAt.toISOString()}\n`,
    )
}
