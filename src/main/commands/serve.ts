import { Option } from 'commander'
import type { Command } from 'commander'
import type { Part } from '../serve.ts'

/** `duebell serve`: runs the whole service, or one part of it. */
export function addServeCommand(program: Command): void {
  program
    .command('serve')
    .description('Runs the service: the API, the workers and the gateway, until it is asked to stop.')
    .addOption(
      new Option(
        '--only <part>',
        'api: the web and what providers call; worker: reading and sending texts. Left out: both in one process.',
      ).choices(['api', 'worker']),
    )
    .action(async ({ only }: { readonly only?: Part }) => {
      const { serve } = await import('../serve.ts')
      await serve(process.env, only ?? null)
    })
}
