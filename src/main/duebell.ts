import { Command } from 'commander'
import { addAuditCommand } from './commands/audit.ts'
import { addAvailabilityCommand } from './commands/availability.ts'
import { addBackupCommand } from './commands/backup.ts'
import { addCheckScheduleCommand } from './commands/check-schedule.ts'
import { addCoverageCommand } from './commands/coverage.ts'
import { addDemoCommand } from './commands/demo.ts'
import { addDosesGivenCommand } from './commands/doses-given.ts'
import { addDoctorCommand } from './commands/doctor.ts'
import { addDropoutCommand } from './commands/dropout.ts'
import { addFlowsCommand } from './commands/flows.ts'
import { addFollowListCommands } from './commands/follow-lists.ts'
import { addForecastCommand } from './commands/forecast.ts'
import { addEraseCommand } from './commands/erase.ts'
import { addExportRegisterCommand } from './commands/export-register.ts'
import { addImportRegisterCommand } from './commands/import-register.ts'
import { addImportTemperaturesCommand } from './commands/import-temperatures.ts'
import { addKeysCommand } from './commands/keys.ts'
import { addLoadDistrictCommand } from './commands/load-district.ts'
import { addMeasureCommand } from './commands/measure.ts'
import { addMigrateCommand } from './commands/migrate.ts'
import { addNeedsCommand } from './commands/needs.ts'
import { addPhrasesCommand } from './commands/phrases.ts'
import { addReadCommand } from './commands/read.ts'
import { addReportingLoginCommand } from './commands/reporting-login.ts'
import { addRestoreCommand } from './commands/restore.ts'
import { addRetainCommand } from './commands/retain.ts'
import { addServeCommand } from './commands/serve.ts'
import { addSimulateCommand } from './commands/simulate.ts'
import { addSignInLinkCommand } from './commands/sign-in-link.ts'
import { addTokenCommand } from './commands/token.ts'
import { addTokensCommand } from './commands/tokens.ts'
import { addTryPolicyCommand } from './commands/try-policy.ts'
import { addUseCommand } from './commands/use.ts'
import { explainFailure } from './explain-failure.ts'

/** The `duebell` command line: one file a command in src/main/commands. */
const program = new Command('duebell')
  .description('Keeps children from missing vaccines, over the phones people already have.')
  .showHelpAfterError('(add --help for what can be said)')

addAuditCommand(program)
addAvailabilityCommand(program)
addBackupCommand(program)
addCheckScheduleCommand(program)
addCoverageCommand(program)
addDemoCommand(program)
addDosesGivenCommand(program)
addDoctorCommand(program)
addDropoutCommand(program)
addEraseCommand(program)
addFlowsCommand(program)
addFollowListCommands(program)
addForecastCommand(program)
addImportRegisterCommand(program)
addExportRegisterCommand(program)
addImportTemperaturesCommand(program)
addKeysCommand(program)
addLoadDistrictCommand(program)
addMeasureCommand(program)
addMigrateCommand(program)
addNeedsCommand(program)
addPhrasesCommand(program)
addReportingLoginCommand(program)
addRestoreCommand(program)
addRetainCommand(program)
addServeCommand(program)
addSignInLinkCommand(program)
addSimulateCommand(program)
addTokenCommand(program)
addTokensCommand(program)
addTryPolicyCommand(program)
addUseCommand(program)
addReadCommand(program)

try {
  await program.parseAsync()
} catch (error) {
  const { text, exitCode } = explainFailure(error)
  process.stderr.write(`${text}\n`)
  process.exitCode = exitCode
}
