import { Command } from 'commander'
import { addMeasureCommand } from './commands/measure.ts'

/** The `duebell` command line: one file a command in src/main/commands. */
const program = new Command('duebell')
  .description('Keeps children from missing vaccines, over the phones people already have.')
  .showHelpAfterError('(add --help for what can be said)')

addMeasureCommand(program)

await program.parseAsync()
