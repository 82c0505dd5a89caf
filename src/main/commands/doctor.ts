import { Option } from 'commander'
import type { Command } from 'commander'
import { systemClock } from '../../platform/clock.ts'
import { CHECKS } from '../doctor/finding.ts'
import type { CheckName, Finding } from '../doctor/finding.ts'

interface Options {
  readonly only?: readonly CheckName[]
  readonly json?: boolean
}

/** `duebell doctor`: looks at all the service needs and says what to do. */
export function addDoctorCommand(program: Command): void {
  program
    .command('doctor')
    .description(
      'Looks at the service, database, Redis, clock, gateway, disk, time zone data, backups and encryption on the way, and says what to do; ends with 1 where something is bad.',
    )
    .addOption(new Option('--only <check...>', 'some of the checks').choices(CHECKS))
    .option('--json', 'one JSON object a line')
    .action(async ({ only = CHECKS, json = false }: Options) => {
      const { examine } = await import('../doctor/examine.ts')
      const { readSettings } = await import('../settings.ts')
      const findings = await examine(readSettings(process.env), systemClock, only)
      for (const finding of findings)
        process.stdout.write(`${json ? JSON.stringify(finding) : sentenceOf(finding)}\n`)
      if (findings.some(({ verdict }) => verdict === 'bad')) process.exitCode = 1
    })
}

function sentenceOf({ check, verdict, found, advice }: Finding): string {
  const line = `${verdict.padEnd(8)}  ${check.padEnd(10)}  ${found}`
  return advice === null ? line : `${line}\n${' '.repeat(22)}-> ${advice}`
}
