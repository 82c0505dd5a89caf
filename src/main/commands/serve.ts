import { Option } from 'commander'
import type { Command } from 'commander'

/** `duebell serve`: runs the whole service, or some of its roles. */
export function addServeCommand(program: Command): void {
  program
    .command('serve')
    .description('Runs the service: the API, the workers and the gateway, until it is asked to stop.')
    .addOption(
      new Option(
        '--roles <names>',
        'what this process does: api,planner,sender,receiver or some of them',
      ).env('ROLES'),
    )
    .action(async ({ roles }: { readonly roles?: string }) => {
      const { serve } = await import('../serve.ts')
      await serve({ ...process.env, ROLES: roles })
    })
}
