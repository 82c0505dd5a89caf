import type { Command } from 'commander'

/** `duebell migrate`: brings the database to the shape this release needs. */
export function addMigrateCommand(program: Command): void {
  program
    .command('migrate')
    .description('Brings the database to the shape this release needs; doing it again changes nothing.')
    .action(async () => {
      const { withStore } = await import('../with-store.ts')
      await withStore(({ appliedSteps }) => {
        const lines =
          appliedSteps.length === 0 ? ['nothing to do'] : appliedSteps.map((step) => `applied ${step}`)
        process.stdout.write(`${lines.join('\n')}\n`)
        return Promise.resolve()
      })
    })
}
