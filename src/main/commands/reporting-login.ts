import type { Command } from 'commander'
import { systemClock } from '../../platform/clock.ts'
import { newSecret } from '../../platform/ids.ts'

/** `duebell reporting-login NAME`: lets an outside report tool read the views that name nobody. */
export function addReportingLoginCommand(program: Command): void {
  program
    .command('reporting-login')
    .description(
      'Makes a login of the database that may read the views of the schema "reporting" and nothing else, and prints its password once. They hold no name, card, phone or exact birth date. Done again, it gives a new password.',
    )
    .argument('<name>', 'begins with report_')
    .option('--end', 'ends the login instead')
    .action(async (name: string, { end = false }: { readonly end?: boolean }) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { endReportingLogin, makeReportingLogin } = await import('../../app/reporting-login.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        const said = await store.transaction(async (tx) => {
          if (!end) return makeReportingLogin(tx, deps, newSecret, name)
          await endReportingLogin(tx, deps, name)
          return `ended ${name}`
        })
        process.stdout.write(`${said}\n`)
      })
    })
}
