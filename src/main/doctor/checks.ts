import { mkdir, statfs } from 'node:fs/promises'
import { connect } from 'node:net'
import { Redis } from 'ioredis'
import type { GatewayConfig } from '../../gateway/gateway-config.ts'
import type { Config } from '../../platform/config.ts'
import type { Inspection } from '../../store/inspect.ts'
import { bad, doubtful, good, reasonOf } from './finding.ts'
import type { Finding } from './finding.ts'

/** Each check looks at one thing and says what to do about it; none of them changes anything. */

const HOUR_MS = 3_600_000
const PATIENCE_MS = 3_000

/** Asks this process's own service, as whatever watches it would. */
export async function checkAnswers({ httpPort, httpsKeyFile }: Config): Promise<Finding> {
  const address = `${httpsKeyFile === null ? 'http' : 'https'}://127.0.0.1:${httpPort}/health/ready`
  try {
    const { status } = await fetch(address, { signal: AbortSignal.timeout(PATIENCE_MS) })
    if (status === 200) return good('answers', 'the service is ready')
    return bad('answers', `the service answers ${status}`, 'The database does not answer it; see "database".')
  } catch (error) {
    const advice = 'Start it (docker compose up -d) and read its log.'
    return bad('answers', `nothing answers on port ${httpPort} (${reasonOf(error)})`, advice)
  }
}

export function checkDatabase(inspection: Inspection): Finding {
  const { version, pending, foreign, megabytes, connections, mostConnections, waiting } = inspection
  if (pending.length > 0)
    return bad('database', `it lacks ${pending.length} steps of this release`, 'Run: duebell migrate')
  if (foreign.length > 0) {
    const advice = 'A newer release brought it up; upgrade this one too, at the latest before the next step.'
    return doubtful('database', `it has ${foreign.length} steps this release does not know`, advice)
  }
  if (connections > mostConnections * 0.9) {
    const advice =
      'Lower DATABASE_CONNECTIONS or raise max_connections; their sum over all processes must fit.'
    return doubtful('database', `${connections} of ${mostConnections} connections are taken`, advice)
  }
  if (waiting.texts > 0) {
    const advice = 'See "redis" and "gateway"; where both are well, start a worker.'
    const since = waiting.since?.toISOString() ?? ''
    return doubtful('database', `${waiting.texts} texts wait since ${since}`, advice)
  }
  return good('database', `PostgreSQL ${version}, ${megabytes} MB, this release's shape`)
}

/** Redis must never drop a job to make room, and should keep what it holds over a restart. */
export async function checkRedis(url: string): Promise<Finding> {
  const redis = new Redis(url, { lazyConnect: true, connectTimeout: PATIENCE_MS, retryStrategy: () => null })
  redis.on('error', () => undefined)
  try {
    await redis.connect()
    const memory = await redis.info('memory')
    const persistence = await redis.info('persistence')
    const policy = /maxmemory_policy:(\S+)/.exec(memory)?.[1] ?? 'unknown'
    if (policy !== 'noeviction')
      return bad('redis', `maxmemory-policy is ${policy}`, 'Set: maxmemory-policy noeviction')
    if (!persistence.includes('aof_enabled:1'))
      return doubtful(
        'redis',
        'it forgets its jobs on a restart',
        'Set: appendonly yes. Nothing is lost without it, but it takes a sweep to find the work again.',
      )
    return good('redis', 'noeviction, append-only file on')
  } catch (error) {
    const advice = 'Start it and look at REDIS_URL. Texts are kept meanwhile and go out afterwards.'
    return bad('redis', `it does not answer (${reasonOf(error)})`, advice)
  } finally {
    redis.disconnect()
  }
}

const MOST_SKEW_MS = 5_000

/** Compares this machine's clock with the database's: one of them is wrong when they differ. */
export function checkClock({ now: databaseNow }: Inspection, now: Date): Finding {
  const skewMs = Math.abs(databaseNow.getTime() - now.getTime())
  if (skewMs <= MOST_SKEW_MS) return good('clock', `agrees with the database's to ${skewMs} ms`)
  const advice = 'Switch on time synchronisation on both machines (timedatectl set-ntp true).'
  return bad('clock', `differs from the database's by ${Math.round(skewMs / 1000)} s`, advice)
}

/** Sees whether the providers can be reached; sends nothing and opens no session. */
export async function checkGateway(config: GatewayConfig | null): Promise<Finding> {
  if (config === null) {
    const advice = 'Fit for trying out. To reach families set GATEWAY_FILE (docs/gateways.md).'
    return doubtful('gateway', 'no gateway: nothing leaves this process', advice)
  }
  const places = placesOf(config)
  const silent: string[] = []
  for (const place of places) if (!(await canReach(place))) silent.push(`${place.host}:${place.port}`)
  if (silent.length === 0) return good('gateway', `${places.length} reachable`)
  const advice =
    'Look at the network, the firewall and the provider. Texts wait and go out while they are of use.'
  return bad('gateway', `not reachable: ${silent.join(', ')}`, advice)
}

interface Place {
  readonly host: string
  readonly port: number
}

function placesOf(config: GatewayConfig): Place[] {
  switch (config.kind) {
    case 'routes':
      return config.routes.flatMap(({ gateway }) => placesOf(gateway))
    case 'smpp':
      return [{ host: config.host, port: config.port }]
    case 'http': {
      const { hostname, port, protocol } = new URL(config.submit.request.url)
      return [{ host: hostname, port: Number(port === '' ? (protocol === 'https:' ? 443 : 80) : port) }]
    }
    case 'handset':
      return []
  }
}

function canReach({ host, port }: Place): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect({ host, port, timeout: PATIENCE_MS })
    const end = (isThere: boolean) => () => {
      socket.destroy()
      resolve(isThere)
    }
    socket.on('connect', end(true)).on('error', end(false)).on('timeout', end(false))
  })
}

const LEAST_FREE_SHARE = 0.1
/** So much is room enough on a disk of any size. */
const PLENTY_MB = 10_240

export async function checkDisk({ backupFolder }: Config, { megabytes }: Inspection): Promise<Finding> {
  try {
    await mkdir(backupFolder, { recursive: true, mode: 0o700 })
    const { bavail, blocks, bsize } = await statfs(backupFolder)
    const free = Math.floor((bavail * bsize) / 1_048_576)
    const isRoomy = bavail / blocks >= LEAST_FREE_SHARE || free >= PLENTY_MB
    if (isRoomy && free > megabytes) return good('disk', `${free} MB free for backups`)
    const advice = 'Make room: a full disk stops the database. Lower BACKUP_KEEP, or move BACKUP_FOLDER.'
    return bad('disk', `${free} MB free for backups, the database has ${megabytes} MB`, advice)
  } catch (error) {
    const advice = "Give the service's user the right to write there, or set BACKUP_FOLDER."
    return bad('disk', `${backupFolder} cannot be written (${reasonOf(error)})`, advice)
  }
}

/** Offsets that do not depend on the machine, from the IANA time zone database: no change in them since 1970. */
const KNOWN_OFFSETS: Readonly<Record<string, number>> = { 'Africa/Nairobi': 180, 'Asia/Kolkata': 330, UTC: 0 }

export function checkTimeZones({ timeZones }: Inspection, now: Date, dataVersion: string): Finding {
  const offsets = Object.entries(KNOWN_OFFSETS)
  const wrong = offsets
    .filter(([zone, minutes]) => offsetMinutes(zone, now) !== minutes)
    .map(([zone]) => zone)
  const unknown = timeZones.filter((zone) => offsetMinutes(zone, now) === null)
  const advice = 'Install the full Node (with ICU) of a current release; hours of texts would be wrong.'
  if (wrong.length + unknown.length > 0)
    return bad('time-zones', `wrong or unknown: ${[...wrong, ...unknown].join(', ')}`, advice)
  const age = now.getUTCFullYear() - Number(dataVersion.slice(0, 4))
  if (!(age <= 2))
    return doubtful('time-zones', `the data are of ${dataVersion}`, 'Upgrade Node: zones change every year.')
  return good('time-zones', `data of ${dataVersion}, every district's zone known`)
}

/** Minutes ahead of UTC; null for a zone that is not known. */
function offsetMinutes(zone: string, at: Date): number | null {
  try {
    const format = new Intl.DateTimeFormat('en-GB', { timeZone: zone, timeZoneName: 'longOffset' })
    const name = format.formatToParts(at).find(({ type }) => type === 'timeZoneName')?.value ?? ''
    const [, sign, hours, minutes] = /GMT(?:([+-])(\d\d):(\d\d))?/.exec(name) ?? []
    if (sign === undefined) return 0
    return (sign === '-' ? -1 : 1) * (Number(hours) * 60 + Number(minutes))
  } catch {
    return null
  }
}

export function checkBackup({ backedUpAt }: Inspection, config: Config, now: Date): Finding {
  const { backupMaxAgeHours, backupCopyFolder } = config
  if (backedUpAt === null)
    return bad('backup', 'there is none', 'Run: duebell backup, and have it run every day.')
  const hours = Math.floor((now.getTime() - backedUpAt.getTime()) / HOUR_MS)
  if (hours > backupMaxAgeHours)
    return bad('backup', `the newest is ${hours} hours old`, 'Run: duebell backup, and see why none ran.')
  if (backupCopyFolder === null)
    return doubtful('backup', `${hours} hours old, on this machine only`, 'Set BACKUP_COPY_FOLDER.')
  return good('backup', `${hours} hours old, copied elsewhere`)
}

/** All processes should be of one release, the one that is asked. */
export function checkReleases({ processes }: Inspection, release: string): Finding {
  if (processes.length === 0)
    return doubtful('releases', 'no process has been seen for two minutes', 'Start the service.')
  const others = processes.filter((each) => each.release !== release)
  if (others.length === 0)
    return good('releases', `processes running: ${processes.length}, all of ${release}`)
  const named = others.map((each) => `${each.roles} is of ${each.release}`).join('; ')
  const advice = 'Restart those processes with this release; docs/operations.md says in which order.'
  return doubtful('releases', `this is ${release}, but ${named}`, advice)
}

const LOCAL = /^(localhost|127(\.\d{1,3}){3}|\[?::1\]?|[a-z0-9-]+)$/

/** What is said between machines must be said in secret; names without a dot are those of an inner network. */
export function checkTransport(config: Config): Finding {
  const { httpHost, httpsKeyFile, trustedProxies, databaseUrl, redisUrl } = config
  const open: string[] = []
  if (!LOCAL.test(httpHost) && httpsKeyFile === null && trustedProxies === 0) open.push('the API and pages')
  if (databaseUrl !== null && isAfar(databaseUrl) && !/sslmode=(require|verify)/.test(databaseUrl))
    open.push('the database')
  if (redisUrl !== null && isAfar(redisUrl) && !redisUrl.startsWith('rediss:')) open.push('Redis')
  if (open.length === 0) return good('transport', 'nothing leaves this machine in the clear')
  const advice =
    'Set HTTPS_CERTIFICATE_FILE or put a proxy with TLS in front; add sslmode=verify-full; use rediss://.'
  return doubtful('transport', `in the clear: ${open.join(', ')}`, advice)
}

const isAfar = (url: string): boolean => !LOCAL.test(new URL(url).hostname)
