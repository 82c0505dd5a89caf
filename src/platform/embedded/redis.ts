import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { Redis } from 'ioredis'
import { findProgram, type Report, run, succeeds } from './commands.ts'
import { freePort, LOOPBACK } from './free-port.ts'
import type { Home } from './home.ts'
import { installPackage } from './install-package.ts'

export interface RedisOptions {
  /** True for data that may be lost when the server stops. */
  readonly isThrowaway: boolean
  readonly report: Report
}

const CONNECT_TIMEOUT_MS = 1000
const MAX_ATTEMPTS = 200
const RETRY_MS = 50

const CONTAINER_IMAGE = 'redis:7-alpine'
const CONTAINER_PORT = 6379

const redisFolder = (home: Home): string => join(home.folder, 'redis')
const portFile = (home: Home): string => join(redisFolder(home), 'port')
const configFile = (home: Home): string => join(redisFolder(home), 'redis.conf')
const urlOn = (home: Home, port: number): string => `redis://:${home.password}@${LOOPBACK}:${port}`

/** Returns the address of the server of a home, started where none runs; one caller at a time. */
export async function startRedis(home: Home, options: RedisOptions): Promise<string> {
  const running = await runningUrl(home)
  if (running !== undefined) return running

  await mkdir(redisFolder(home), { recursive: true, mode: 0o700 })
  const port = await freePort()
  await startServer(home, port, options)
  const url = urlOn(home, port)
  for (let attempt = 0; attempt < MAX_ATTEMPTS; attempt++) {
    if (await takes(url, 'ping')) {
      await writeFile(portFile(home), String(port))
      return url
    }
    await delay(RETRY_MS)
  }
  throw new Error(`The private Redis does not start; see ${join(redisFolder(home), 'server.log')}`)
}

/** Stops the server of a home, where one runs. */
export async function stopRedis(home: Home): Promise<void> {
  const url = await runningUrl(home)
  if (url !== undefined) await takes(url, 'shutdown')
}

async function runningUrl(home: Home): Promise<string | undefined> {
  const port = await readFile(portFile(home), 'utf8').catch(() => undefined)
  if (port === undefined) return undefined
  const url = urlOn(home, Number(port))
  return (await takes(url, 'ping')) ? url : undefined
}

/** Sends one command; true when the server took it. The password tells our server from a stranger's. */
async function takes(url: string, command: 'ping' | 'shutdown'): Promise<boolean> {
  const redis = new Redis(url, {
    lazyConnect: true,
    connectTimeout: CONNECT_TIMEOUT_MS,
    maxRetriesPerRequest: 0,
    retryStrategy: () => null,
  })
  // A refused connection also rejects the call below.
  redis.on('error', () => undefined)
  try {
    await redis.connect()
    await (command === 'ping' ? redis.ping() : redis.shutdown())
    return true
  } catch {
    return false
  } finally {
    redis.disconnect()
  }
}

async function startServer(home: Home, port: number, options: RedisOptions): Promise<void> {
  const program = await findOrInstall(options.report)
  if (program !== undefined) {
    options.report('starting Redis')
    await writeConfig(home, { bind: LOOPBACK, port, folder: redisFolder(home) }, options)
    const server = spawn(program, [configFile(home)], { detached: true, stdio: 'ignore' })
    await once(server, 'spawn')
    server.unref()
    return
  }
  if (await succeeds('docker', ['info'])) {
    options.report(`starting Redis in a container (${CONTAINER_IMAGE})`)
    await writeConfig(home, { bind: '0.0.0.0', port: CONTAINER_PORT, folder: '/data' }, options)
    await run('docker', [
      ...['run', '--detach', '--rm', '--publish', `${LOOPBACK}:${port}:${CONTAINER_PORT}`],
      ...['--volume', `${redisFolder(home)}:/data`, CONTAINER_IMAGE, 'redis-server', '/data/redis.conf'],
    ])
    return
  }
  throw new Error(
    'No Redis server was found. Install one (Debian: apt-get install redis-server), start Docker, or set REDIS_URL.',
  )
}

async function findOrInstall(report: Report): Promise<string | undefined> {
  const find = () => findProgram('redis-server', 'valkey-server')
  return (await find()) ?? ((await installPackage('redis-server', report)) ? find() : undefined)
}

async function writeConfig(
  home: Home,
  place: { readonly bind: string; readonly port: number; readonly folder: string },
  { isThrowaway }: RedisOptions,
): Promise<void> {
  const lines = [
    `bind ${place.bind}`,
    `port ${place.port}`,
    `requirepass ${home.password}`,
    `dir ${JSON.stringify(place.folder)}`,
    `logfile ${JSON.stringify(join(place.folder, 'server.log'))}`,
    'maxmemory-policy noeviction',
    'save ""',
    `appendonly ${isThrowaway ? 'no' : 'yes'}`,
  ]
  await writeFile(configFile(home), `${lines.join('\n')}\n`, { mode: 0o600 })
}
