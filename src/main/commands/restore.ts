import type { Command } from 'commander'
import { systemClock } from '../../platform/clock.ts'

interface Options {
  readonly replace?: boolean
  readonly drill?: boolean
  readonly sentNothing?: boolean
}

/** `duebell restore [FILE]`: fills a database from a backup, or tries it in one that is thrown away. */
export function addRestoreCommand(program: Command): void {
  program
    .command('restore')
    .description(
      'Fills the database from a backup and makes it fit to go on with; stop the service first. What was due until now is not sent again.',
    )
    .argument('[file]', 'left out: the newest in BACKUP_FOLDER')
    .option('--drill', 'restores into a database of its own, compares every table, and drops it again')
    .option('--replace', 'loses what the database holds now')
    .option(
      '--sent-nothing',
      'the service has stood still since the backup was taken: what is due goes out after all',
    )
    .action(async (file: string | undefined, options: Options) => {
      const { restoreBackup, drillBackup } = await import('../backup/restore-backup.ts')
      const { readConfig } = await import('../../platform/config.ts')
      const config = readConfig(process.env)
      const say = (line: string): void => void process.stdout.write(`${line}\n`)
      const order = { config, file: file ?? null, clock: systemClock, say }
      if (options.drill === true) await drillBackup(order)
      else
        await restoreBackup(order, {
          isReplacing: options.replace === true,
          hasSentNothing: options.sentNothing === true,
        })
    })
}
