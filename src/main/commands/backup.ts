import { setTimeout as delay } from 'node:timers/promises'
import { InvalidArgumentError } from 'commander'
import type { Command } from 'commander'
import { systemClock } from '../../platform/clock.ts'
import type { Store } from '../with-store.ts'

const HOUR_MS = 3_600_000

/** `duebell backup`: takes a backup, once or again and again. */
export function addBackupCommand(program: Command): void {
  program
    .command('backup')
    .description(
      'Takes a backup of the whole database into BACKUP_FOLDER while the service runs, reads it back, copies it to BACKUP_COPY_FOLDER, and removes the oldest.',
    )
    .option('--every-hours <n>', 'goes on until it is stopped, with one backup every so many hours', hours)
    .action(async ({ everyHours }: { readonly everyHours?: number }) => {
      const { withStore } = await import('../with-store.ts')
      await withStore(async (store) => {
        await backUp(store)
        if (everyHours === undefined) return
        for (;;) {
          await delay(everyHours * HOUR_MS)
          await backUp(store).catch((error: unknown) => {
            store.log.error('the backup failed', { error })
          })
        }
      })
    })
}

async function backUp(store: Store): Promise<void> {
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { takeBackup } = await import('../backup/take-backup.ts')
  const deps = openDeps(store, systemClock, silentConveyor)
  const { path, copy, rows, bytes, removed } = await takeBackup(deps, store.config, store.url)
  const kilobytes = Math.ceil(bytes / 1024)
  process.stdout.write(`${path}: ${rows} rows, ${kilobytes} kB, read back and whole\n`)
  process.stdout.write(
    copy === null ? 'no copy elsewhere: BACKUP_COPY_FOLDER is not set\n' : `copied to ${copy}\n`,
  )
  if (removed > 0) process.stdout.write(`${removed} of the oldest removed\n`)
}

function hours(text: string): number {
  const number = Number(text)
  if (Number.isInteger(number) && number >= 1 && number <= 500) return number
  throw new InvalidArgumentError('Write a number of hours from 1 to 500.')
}
