import { InvalidArgumentError } from 'commander'
import type { Command } from 'commander'
import { stringify } from 'csv-stringify/sync'
import { systemClock } from '../../platform/clock.ts'

interface Options {
  readonly district?: string
  readonly weeks: number
}

const COLUMNS = ['week', 'role', 'act', 'people', 'acts'] as const

/** `duebell use`: what is used and by which roles, as CSV; it names nobody. */
export function addUseCommand(program: Command): void {
  program
    .command('use')
    .description(
      'What was done in each week, by role and act, as CSV: which parts are used and which are not. It names nobody.',
    )
    .option('--district <name>', 'the district, where there are several')
    .option('--weeks <n>', 'how many weeks, this one included', wholeWeeks, 8)
    .action(async ({ district, weeks }: Options) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { districtNamed } = await import('../../app/district-named.ts')
      const { reportUse } = await import('../../app/report-use.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        const rows = await reportUse(deps, await districtNamed(store.db, district), weeks)
        process.stdout.write(stringify(rows, { header: true, columns: [...COLUMNS] }))
      })
    })
}

function wholeWeeks(text: string): number {
  const weeks = Number(text)
  if (Number.isInteger(weeks) && weeks >= 1 && weeks <= 104) return weeks
  throw new InvalidArgumentError('Write a number of weeks from 1 to 104.')
}
