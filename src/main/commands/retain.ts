import type { Command } from 'commander'
import { stringify } from 'csv-stringify/sync'
import type { PastTerm } from '../../app/privacy/retain.ts'
import { systemClock } from '../../platform/clock.ts'

const COLUMNS: readonly (keyof PastTerm)[] = ['district', 'kind', 'days', 'count']

/** `duebell retain`: ends what is past its term. */
export function addRetainCommand(program: Command): void {
  program
    .command('retain')
    .description(
      'Ends what is past its term and says, as CSV, how much of each kind: words of texts, names of children closed or grown long ago, sign-in codes, kept answers. The service does it every day; figures stay.',
    )
    .option('--dry-run', 'only say what would go')
    .action(async ({ dryRun = false }: { readonly dryRun?: boolean }) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { listPastTerm, retain } = await import('../../app/privacy/retain.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        const rows = dryRun ? await listPastTerm(deps) : await retain(deps)
        process.stdout.write(stringify(rows, { header: true, columns: [...COLUMNS] }))
      })
    })
}
