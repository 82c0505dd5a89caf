import { type Command, Option } from 'commander'
import { stringify } from 'csv-stringify/sync'
import { BREAKDOWNS } from '../../app/report-doses-given.ts'
import type { Breakdown } from '../../app/report-doses-given.ts'
import { Refusal } from '../../core/refusals.ts'
import type { WindowOptions } from './window-options.ts'
import { addWindowOptions, windowAsked } from './window-options.ts'

interface Options extends WindowOptions {
  readonly by: Breakdown
}

/** `duebell doses-given`: what was given in a period, by its parts. */
export function addDosesGivenCommand(program: Command): void {
  addWindowOptions(
    program
      .command('doses-given')
      .description(
        'Doses given in a period by village, post, vaccine and so on, as CSV with their sum last.',
      ),
  )
    .addOption(new Option('--by <part>', 'what to break them down by').choices(BREAKDOWNS).default('village'))
    .action(printDosesGiven)
}

async function printDosesGiven(options: Options): Promise<void> {
  const window = windowAsked(options)
  if (window.kind !== 'period') throw new Refusal('input-invalid', 'Give a period by --from and --to.')
  const { withStore } = await import('../with-store.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { reportDosesGiven } = await import('../../app/report-doses-given.ts')
  await withStore(async (store) => {
    const district = await districtNamed(store.db, options.district)
    const { parts, total } = await reportDosesGiven(store.db, district.id, { ...window, by: options.by })
    const rows = parts.map(({ part, doses }) => [part, doses])
    process.stdout.write(stringify([[options.by, 'doses'], ...rows, ['ALL', total]]))
  })
}
