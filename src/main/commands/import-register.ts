import { createReadStream, readFileSync } from 'node:fs'
import type { Command } from 'commander'
import type { RegisterLine, RegisterResult } from '../../app/import-register.ts'
import { systemClock } from '../../platform/clock.ts'
import { problemWriter } from './problem-writer.ts'

interface Options {
  readonly district?: string
  readonly dryRun?: true
}

/** `duebell import-register FILE`: takes a paper register over, one row a child. */
export function addImportRegisterCommand(program: Command): void {
  program
    .command('import-register')
    .description(
      'Takes a register over, one row a child: card_number, name, sex, birth_date, village, phone, language, then doses as BCG, PENTA1 with their days. Good rows go in, bad ones are listed; doing it again changes nothing.',
    )
    .argument('<file>', 'a .csv (RFC 4180, UTF-8) or .xlsx file')
    .option('--district <name>', 'the district; needed where there are several')
    .option('--dry-run', 'try everything and keep nothing')
    .action(importRegisterFile)
}

async function importRegisterFile(file: string, options: Options): Promise<void> {
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { batchRun } = await import('../../app/batch-run.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { importRegister } = await import('../../app/import-register.ts')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const district = await districtNamed(store.db, options.district)
    const order = {
      districtId: district.id,
      by: 'import-register',
      isDryRun: options.dryRun === true,
      onProblem: problemWriter(),
      onProgress: say,
    }
    let result: RegisterResult | undefined
    await batchRun(deps, order.isDryRun ? 'import-register, dry run' : 'import-register', async () => {
      result = await importRegister(deps, order, await linesOf(file))
      return { ...result }
    })
    if (result === undefined) return
    process.stderr.write(`${order.isDryRun ? 'nothing was kept: ' : ''}${wordsOf(result)}\n`)
  })
}

async function linesOf(file: string): Promise<AsyncIterable<RegisterLine>> {
  const { csvLines, xlsxLines } = await import('../../app/register-lines.ts')
  return /\.xlsx$/i.test(file) ? xlsxLines(readFileSync(file)) : csvLines(createReadStream(file))
}

/** Rows between two lines of progress. */
const STEP = 5000

function say(soFar: RegisterResult): void {
  if (soFar.rows % STEP === 0) process.stderr.write(`${wordsOf(soFar)}\n`)
}

function wordsOf({ rows, enrolled, known, refused, doses }: RegisterResult): string {
  return `${rows} rows: ${enrolled} children enrolled, ${known} known before, ${refused} rows refused; ${doses} doses recorded`
}
