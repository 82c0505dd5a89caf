import { createHash } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { copyFile, mkdir, readdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { createGunzip, createGzip } from 'node:zlib'
import { BackupError } from '../../store/backup/load.ts'

/** `duebell-20261125T043000Z.backup.gz`: names sort by the moment they were taken. */
const NAME = /^duebell-\d{8}T\d{6}Z\.backup\.gz$/

function backupName(takenAt: Date): string {
  return `duebell-${takenAt.toISOString().slice(0, 19).replace(/[-:]/g, '')}Z.backup.gz`
}

/** The backups of a folder, newest first; none where there is no such folder. */
export async function listBackups(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch(() => [])
  return names
    .filter((name) => NAME.test(name))
    .sort()
    .reverse()
    .map((name) => join(folder, name))
}

/** Writes a backup beside its place first, so that a half-written one never counts; answers its path. */
export async function writeBackup(
  folder: string,
  takenAt: Date,
  parts: AsyncIterable<Buffer>,
): Promise<string> {
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const path = join(folder, backupName(takenAt))
  const unfinished = `${path}.unfinished`
  try {
    await pipeline(
      Readable.from(parts),
      createGzip(),
      createWriteStream(unfinished, { mode: 0o600, flush: true }),
    )
    await rename(unfinished, path)
  } catch (error) {
    await rm(unfinished, { force: true })
    throw error
  }
  return path
}

/** What a backup holds, unpacked; a packing that breaks off is a fault of the file. */
export async function* readBackup(path: string): AsyncGenerator<Buffer> {
  const unpacked = createReadStream(path).pipe(createGunzip())
  try {
    for await (const part of unpacked as AsyncIterable<Buffer>) yield part
  } catch (cause) {
    throw new BackupError(`${path} cannot be unpacked; it is torn or no backup.`, { cause })
  }
}

/** Copies a backup to another folder and proves that the copy is the same. @throws {BackupError} */
export async function copyBackup(path: string, folder: string): Promise<string> {
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const copy = join(folder, path.split('/').at(-1) ?? '')
  await copyFile(path, copy)
  if ((await digestOf(path)) === (await digestOf(copy))) return copy
  await rm(copy)
  throw new BackupError(`The copy in ${folder} came out different; look at that disk.`)
}

async function digestOf(path: string): Promise<string> {
  const digest = createHash('sha256')
  for await (const part of createReadStream(path) as AsyncIterable<Buffer>) digest.update(part)
  return digest.digest('hex')
}

/** Removes all but the newest; answers how many went. */
export async function keepNewest(folder: string, keep: number): Promise<number> {
  const old = (await listBackups(folder)).slice(keep)
  for (const path of old) await rm(path)
  return old.length
}
