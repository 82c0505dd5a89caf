import type { Command } from 'commander'

/** `duebell serve`: runs the whole service. */
export function addServeCommand(program: Command): void {
  program
    .command('serve')
    .description('Runs the service: the API, the workers and the gateway, until it is asked to stop.')
    .action(async () => {
      const { serve } = await import('../serve.ts')
      await serve(process.env)
    })
}
