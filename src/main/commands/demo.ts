import type { Command } from 'commander'

/** `duebell demo`: the whole service at work in an invented district. */
export function addDemoCommand(program: Command): void {
  program
    .command('demo')
    .description(
      'Plays four weeks of an invented district in fast-forward on real parts, then serves its pages.',
    )
    .option('--once', 'end after the story', false)
    .action(async ({ once }: { readonly once: boolean }) => {
      const { demo } = await import('../demo/demo.ts')
      await demo(process.env, { isOnce: once, print: (line) => void process.stdout.write(`${line}\n`) })
    })
}
