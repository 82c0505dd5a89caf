import { type Command, Option } from 'commander'
import { stringify } from 'csv-stringify/sync'
import type { DoseFlows } from '../../core/coverage/flows.ts'
import { Refusal } from '../../core/refusals.ts'
import type { WindowOptions } from './window-options.ts'
import { addWindowOptions, windowAsked } from './window-options.ts'

interface Options extends WindowOptions {
  readonly format: 'csv' | 'json'
}

const COLUMNS = ['village', 'own_post', 'other_post', 'elsewhere', 'not_said'] as const

/** `duebell flows`: doses given away from the post that serves the child's village. */
export function addFlowsCommand(program: Command): void {
  addWindowOptions(
    program
      .command('flows')
      .description(
        'Doses of each village’s children by where they were given: its own post, another one, outside the district, or not said. As JSON also the doses each post gave to children of other villages.',
      ),
  )
    .addOption(new Option('--format <format>').choices(['csv', 'json']).default('csv'))
    .action(printFlows)
}

async function printFlows(options: Options): Promise<void> {
  const window = windowAsked(options)
  if (window.kind === 'cohort')
    throw new Refusal('input-invalid', 'Doses cross posts in a period: give --from and --to, or neither.')
  const { withStore } = await import('../with-store.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { reportFlows } = await import('../../app/report-flows.ts')
  await withStore(async (store) => {
    const district = await districtNamed(store.db, options.district)
    const flows = await reportFlows(store.db, district.id, window.kind === 'period' ? window : null)
    process.stdout.write(options.format === 'csv' ? csvOf(flows) : `${JSON.stringify(flows, null, 2)}\n`)
  })
}

function csvOf({ villages }: DoseFlows): string {
  return stringify([
    COLUMNS,
    ...villages.map(({ village, own, out, elsewhere, unknown }) => [village, own, out, elsewhere, unknown]),
  ])
}
