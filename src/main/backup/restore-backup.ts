import type { Clock } from '../../app/ports.ts'
import { takeUpAgain } from '../../app/take-up-again.ts'
import { batchRun } from '../../app/batch-run.ts'
import type { Config } from '../../platform/config.ts'
import { openPostgres } from '../../platform/embedded/servers.ts'
import { openLifecycle } from '../../platform/lifecycle.ts'
import { makeThrowawayDatabase } from '../../platform/throwaway-database.ts'
import { BackupError } from '../../store/backup/load.ts'
import type { ProvenDump } from '../../store/backup/load.ts'
import { restoreDatabase } from '../../store/backup/restore.ts'
import { openDeps, silentConveyor } from '../open-deps.ts'
import { MIGRATIONS, openStore } from '../with-store.ts'
import { listBackups, readBackup } from './files.ts'

export interface RestoreOrder {
  readonly config: Config
  /** Null: the newest in BACKUP_FOLDER. */
  readonly file: string | null
  readonly clock: Clock
  readonly say: (line: string) => void
}

export interface RestoreChoice {
  readonly isReplacing: boolean
  /** True: nothing left after the backup was taken, so what is due goes out. */
  readonly hasSentNothing: boolean
}

/** Fills the database from a backup, then plans and settles so that nobody is reminded twice. */
export async function restoreBackup(order: RestoreOrder, choice: RestoreChoice): Promise<void> {
  const { config, clock, say } = order
  const path = await chosenBackup(order)
  await onPostgres(config, async (url) => {
    const began = clock.now()
    const dump = await restoreDatabase({ url, folder: MIGRATIONS, open: () => readBackup(path), ...choice })
    say(`${path}: ${totalOf(dump)} rows of ${dump.header.takenAt} are back`)
    const lifecycle = openLifecycle(config.stopTimeoutMs)
    try {
      const store = await openStore({ ...config, databaseUrl: url }, lifecycle)
      const deps = openDeps(store, clock, silentConveyor)
      const { reminders = 0, texts = 0 } = await batchRun(deps, 'restore', async () => ({
        rows: totalOf(dump),
        ...(choice.hasSentNothing ? {} : await takeUpAgain(deps)),
      }))
      say(
        `${reminders} reminders and ${texts} texts were due by now and may have left: they are not sent again`,
      )
    } finally {
      await lifecycle.stop()
    }
    say(`done in ${secondsSince(began, clock)} s; start the service`)
  })
}

/** Proves that a backup can be restored: into a database beside the real one, every table compared, then dropped. */
export async function drillBackup(order: RestoreOrder): Promise<void> {
  const { config, clock, say } = order
  const path = await chosenBackup(order)
  await onPostgres(config, async (server) => {
    const database = await makeThrowawayDatabase(server, `duebell_drill_${process.pid}`)
    try {
      const began = clock.now()
      const dump = await restoreDatabase({
        url: database.url,
        folder: MIGRATIONS,
        open: () => readBackup(path),
        isReplacing: false,
      })
      for (const [table, rows] of Object.entries(dump.rows)) if (rows > 0) say(`${table}: ${rows}`)
      say(`${path}: ${totalOf(dump)} rows restored and compared in ${secondsSince(began, clock)} s`)
    } finally {
      await database.drop()
    }
  })
}

async function chosenBackup({ config, file }: RestoreOrder): Promise<string> {
  const path = file ?? (await listBackups(config.backupFolder))[0]
  if (path !== undefined) return path
  throw new BackupError(`There is no backup in ${config.backupFolder}; name a file, or set BACKUP_FOLDER.`)
}

async function onPostgres(config: Config, work: (url: string) => Promise<void>): Promise<void> {
  const report = (line: string): void => void process.stderr.write(`${line}\n`)
  const { dataFolder, databaseUrl } = config
  const server = await openPostgres({ url: databaseUrl, dataFolder, isThrowaway: false, report })
  try {
    await work(server.url)
  } finally {
    await server.close()
  }
}

function totalOf({ rows }: ProvenDump): number {
  return Object.values(rows).reduce((sum, count) => sum + count, 0)
}

function secondsSince(began: Date, clock: Clock): string {
  return ((clock.now().getTime() - began.getTime()) / 1000).toFixed(1)
}
