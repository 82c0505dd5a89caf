import type { Command } from 'commander'
import { makeSignInLink } from '../../app/pages/sign-in.ts'
import { systemClock } from '../../platform/clock.ts'
import { newSecret } from '../../platform/ids.ts'

/** `duebell sign-in-link PHONE`: lets a manager or officer into the pages once, where no text reaches them. */
export function addSignInLinkCommand(program: Command): void {
  program
    .command('sign-in-link')
    .description(
      'Prints a path that lets a manager or officer into the pages once, within the hour; put the address of the service before it.',
    )
    .argument('<phone>', 'the phone on record for the person')
    .action(async (phone: string) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        process.stdout.write(`${await makeSignInLink(deps, { newSecret }, phone)}\n`)
      })
    })
}
