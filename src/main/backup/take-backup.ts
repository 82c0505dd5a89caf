import { stat } from 'node:fs/promises'
import { batchRun } from '../../app/batch-run.ts'
import type { Deps } from '../../app/deps.ts'
import type { Config } from '../../platform/config.ts'
import { dumpDatabase } from '../../store/backup/dump.ts'
import { proveDump } from '../../store/backup/load.ts'
import { VERSION } from '../version.ts'
import { copyBackup, keepNewest, readBackup, writeBackup } from './files.ts'

export interface TakenBackup {
  readonly path: string
  /** Null where BACKUP_COPY_FOLDER is not set. */
  readonly copy: string | null
  readonly rows: number
  readonly bytes: number
  /** Older ones that were removed. */
  readonly removed: number
}

type BackupConfig = Pick<Config, 'backupFolder' | 'backupCopyFolder' | 'backupKeep'>

/** Takes a backup while the service runs, reads it back, copies it away, and lets go of the oldest. */
export async function takeBackup(deps: Deps, config: BackupConfig, url: string): Promise<TakenBackup> {
  const all: TakenBackup[] = []
  await batchRun(deps, 'backup', async () => {
    const taken = await take(deps, config, url)
    all.push(taken)
    return {
      rows: taken.rows,
      bytes: taken.bytes,
      removed: taken.removed,
      copied: taken.copy === null ? 0 : 1,
    }
  })
  const [taken] = all
  if (taken === undefined) throw new Error('a backup that was not taken did not fail')
  return taken
}

async function take({ clock }: Deps, config: BackupConfig, url: string): Promise<TakenBackup> {
  const { backupFolder, backupCopyFolder, backupKeep } = config
  const takenAt = clock.now()
  let rows = 0
  const onTable = (_table: string, count: number): void => {
    rows += count
  }
  const parts = dumpDatabase({ url, release: VERSION, takenAt, onTable })
  const path = await writeBackup(backupFolder, takenAt, parts)
  await proveDump(readBackup(path))
  const copy = backupCopyFolder === null ? null : await copyBackup(path, backupCopyFolder)
  if (backupCopyFolder !== null) await keepNewest(backupCopyFolder, backupKeep)
  const removed = await keepNewest(backupFolder, backupKeep)
  return { path, copy, rows, bytes: (await stat(path)).size, removed }
}
