import { Command } from 'commander'
import { addCheckScheduleCommand } from './commands/check-schedule.ts'
import { addForecastCommand } from './commands/forecast.ts'
import { addMeasureCommand } from './commands/measure.ts'
import { addMigrateCommand } from './commands/migrate.ts'
import { addPhrasesCommand } from './commands/phrases.ts'
import { explainFailure } from './explain-failure.ts'

/** The `duebell` command line: one file a command in src/main/commands. */
const program = new Command('duebell')
  .description('Keeps children from missing vaccines, over the phones people already have.')
  .showHelpAfterError('(add --help for what can be said)')

addCheckScheduleCommand(program)
addForecastCommand(program)
addMeasureCommand(program)
addMigrateCommand(program)
addPhrasesCommand(program)

try {
  await program.parseAsync()
} catch (error) {
  const { text, exitCode } = explainFailure(error)
  process.stderr.write(`${text}\n`)
  process.exitCode = exitCode
}
