import { createHash, randomUUID } from 'node:crypto'
import { chmod, chown, link, mkdir, readFile, rm, writeFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { newSecret } from '../ids.ts'
import { type Identity, isRoot, type Report, run, succeeds } from './commands.ts'

/** Where the embedded servers of one data folder keep everything. */
export interface Home {
  readonly folder: string
  /** Whom Postgres runs as: ourselves, or somebody who is not root. */
  readonly identity: Identity
  /** Of both servers; made once, at random. */
  readonly password: string
  /** A 32-bit number that stands for this folder. */
  readonly key: number
}

/** Homes of folders that Postgres may not enter, because they lie below one that is root's alone. */
const OUTSIDE = '/var/lib/duebell'

/** Prepares the folder, whoever this process runs as. */
export async function openHome(dataFolder: string, report: Report): Promise<Home> {
  const identity = await unprivilegedIdentity(report)
  const folder = await enterable(resolve(dataFolder), identity, report)
  return {
    folder,
    identity,
    password: await keptPassword(folder, identity),
    key: digest(folder).readInt32BE(),
  }
}

/** Postgres refuses to run as root; root lets the system's user `postgres` run it, made where it is missing. */
async function unprivilegedIdentity(report: Report): Promise<Identity> {
  if (!isRoot()) return {}
  if (!(await succeeds('id', ['-u', 'postgres']))) {
    report('making the system user postgres, because Postgres does not run as root')
    await run('useradd', ['--system', '--user-group', '--no-create-home', 'postgres'])
  }
  return {
    uid: Number(await run('id', ['-u', 'postgres'])),
    gid: Number(await run('id', ['-g', 'postgres'])),
  }
}

async function enterable(folder: string, identity: Identity, report: Report): Promise<string> {
  await makeEnterable(folder)
  if (await succeeds('test', ['-x', folder], identity)) return folder
  const outside = join(OUTSIDE, digest(folder).toString('hex', 0, 4))
  if (await makeEnterable(outside)) {
    report(`the user postgres cannot enter ${folder}; its files are kept in ${outside}`)
  }
  return outside
}

/** Makes a folder that others may pass through; one that exists is left as it is. True when it was made. */
async function makeEnterable(folder: string): Promise<boolean> {
  const isNew = (await mkdir(folder, { recursive: true })) !== undefined
  if (isNew) await chmod(folder, 0o711)
  return isNew
}

/** The password of this home; of processes that start at once, the first one's counts. */
async function keptPassword(folder: string, identity: Identity): Promise<string> {
  const kept = join(folder, 'password')
  const proposed = `${kept}.${randomUUID()}`
  await writeFile(proposed, newSecret(), { mode: 0o600 })
  if (identity.uid !== undefined && identity.gid !== undefined) {
    await chown(proposed, identity.uid, identity.gid)
  }
  await link(proposed, kept).catch(ignoreExisting)
  await rm(proposed)
  return readFile(kept, 'utf8')
}

export function ignoreExisting(error: NodeJS.ErrnoException): void {
  if (error.code !== 'EEXIST') throw error
}

function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest()
}
