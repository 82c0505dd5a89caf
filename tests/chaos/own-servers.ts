import { spawn, spawnSync } from 'node:child_process'
import type { ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { chmod, mkdir, mkdtemp, readFile, readlink, rm, rmdir, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { Redis } from 'ioredis'
import { findProgram } from '../../src/platform/embedded/commands.ts'
import { freePort } from '../../src/platform/embedded/free-port.ts'
import { openPostgres } from '../../src/platform/embedded/servers.ts'

/** Servers of the suite's own, which may be hurt. */
export interface OwnServers {
  readonly databaseUrl: string
  readonly redisUrl: string
  readonly restartPostgres: () => Promise<void>
  readonly restartRedis: () => Promise<void>
  readonly emptyRedis: () => Promise<void>
  /** Redis can no longer save, and refuses every write; until `mendDisk`. */
  readonly fillDisk: () => Promise<void>
  readonly mendDisk: () => Promise<void>
  readonly stop: () => Promise<void>
}

const report = (): void => undefined

export async function startOwnServers(): Promise<OwnServers> {
  const folder = await mkdtemp(join(tmpdir(), 'duebell-chaos-'))
  // Postgres may run as another user.
  await chmod(folder, 0o711)
  const redis = await ownRedis(folder)
  // What it has confirmed must stay, as in real use: a crash is one of the things that happen here.
  const postgres = await openPostgres({ url: null, dataFolder: folder, isThrowaway: false, report })
  const data = join(folder, 'postgres')
  return {
    ...redis,
    databaseUrl: postgres.url,
    restartPostgres: () => control(data, 'restart', 'immediate'),
    stop: async () => {
      await control(data, 'stop', 'fast')
      await redis.stopRedis()
      await rm(folder, { recursive: true, force: true })
    },
  }
}

/** Stops Postgres, `immediate` as a crash would, or starts it again on the same port. */
async function control(data: string, action: 'restart' | 'stop', mode: 'immediate' | 'fast'): Promise<void> {
  const [pid = ''] = (await readFile(join(data, 'postmaster.pid'), 'utf8')).split('\n')
  const programs = dirname(await readlink(`/proc/${pid}/exe`))
  const { uid, gid } = await stat(data)
  const run = spawnSync(
    join(programs, 'pg_ctl'),
    [action, '--mode', mode, '--silent', '--pgdata', data, '--log', join(data, 'server.log')],
    { uid, gid, cwd: data, stdio: 'ignore' },
  )
  if (run.status !== 0) throw new Error(`Postgres did not ${action}`)
}

async function ownRedis(folder: string) {
  const program = await findProgram('redis-server', 'valkey-server')
  if (program === undefined) throw new Error('The chaos suite needs redis-server on the PATH.')
  const port = await freePort()
  const redisUrl = `redis://127.0.0.1:${port}`
  let server: ChildProcess = await start()

  function start(): Promise<ChildProcess> {
    const child = spawn(
      program ?? '',
      ['--port', String(port), '--dir', folder, '--save', '', '--loglevel', 'warning'],
      {
        stdio: 'ignore',
      },
    )
    return once(child, 'spawn').then(() => child)
  }

  async function stopRedis(): Promise<void> {
    const over = once(server, 'exit')
    server.kill('SIGKILL')
    await over
  }

  async function tell(...command: [string, ...string[]]): Promise<void> {
    const redis = new Redis(redisUrl, { maxRetriesPerRequest: 20, retryStrategy: () => 100 })
    redis.on('error', report)
    await redis.call(...command)
    redis.disconnect()
  }

  return {
    redisUrl,
    stopRedis,
    emptyRedis: () => tell('FLUSHALL'),
    restartRedis: async () => {
      await stopRedis()
      await delay(1000)
      server = await start()
    },
    fillDisk: async () => {
      // A folder stands where the file should go, so that saving fails as it does on a full disk.
      await mkdir(join(folder, 'dump.rdb'))
      await tell('CONFIG', 'SET', 'save', '3600 1')
      await tell('BGSAVE')
    },
    mendDisk: async () => {
      await rmdir(join(folder, 'dump.rdb'))
      await tell('CONFIG', 'SET', 'save', '')
    },
  }
}
