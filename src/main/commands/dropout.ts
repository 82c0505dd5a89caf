import { type Command, Option } from 'commander'
import { stringify } from 'csv-stringify/sync'
import type { DropoutRow } from '../../app/report-dropout.ts'
import { percentText } from '../../core/coverage/shown-ratio.ts'
import { systemClock } from '../../platform/clock.ts'
import type { WindowOptions } from './window-options.ts'
import { addWindowOptions, windowAsked } from './window-options.ts'

interface Options extends WindowOptions {
  readonly format: 'csv' | 'json'
}

const COLUMNS = ['village', 'pair', 'reading', 'first', 'later', 'dropout_percent', 'flags'] as const

/** `duebell dropout`: children who began and did not go on, by village. */
export function addDropoutCommand(program: Command): void {
  addWindowOptions(
    program
      .command('dropout')
      .description(
        'Children who had a first dose and lack a later one, by village and pair of doses, as children followed and as doses subtracted; docs/indicators.md says which is which.',
      ),
  )
    .addOption(new Option('--format <format>').choices(['csv', 'json']).default('csv'))
    .action(printDropout)
}

async function printDropout(options: Options): Promise<void> {
  const window = windowAsked(options)
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { todayIn } = await import('../../app/deps.ts')
  const { reportDropout } = await import('../../app/report-dropout.ts')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const district = await districtNamed(store.db, options.district)
    const question = { districtId: district.id, window, asOf: todayIn(deps, district) }
    const rows = await reportDropout(store.db, deps.shelf, question)
    process.stdout.write(
      options.format === 'csv'
        ? stringify([COLUMNS, ...rows.map(cells)])
        : `${JSON.stringify(rows, null, 2)}\n`,
    )
  })
}

function cells({ village, pair, reading, first, later, dropped, percent, flags }: DropoutRow): string[] {
  const shown = percent === null ? '' : percentText(dropped, first)
  return [village, pair, reading, String(first), String(later), shown, flags.join(' ')]
}
