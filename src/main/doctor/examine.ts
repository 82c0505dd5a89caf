import type { Clock } from '../../app/ports.ts'
import { openPostgres, openRedis } from '../../platform/embedded/servers.ts'
import { inspectDatabase } from '../../store/inspect.ts'
import type { Inspection } from '../../store/inspect.ts'
import type { Settings } from '../settings.ts'
import { VERSION } from '../version.ts'
import { MIGRATIONS } from '../with-store.ts'
import {
  checkAnswers,
  checkBackup,
  checkClock,
  checkDatabase,
  checkDisk,
  checkGateway,
  checkRedis,
  checkReleases,
  checkTimeZones,
  checkTransport,
} from './checks.ts'
import { bad, reasonOf } from './finding.ts'
import type { CheckName, Finding } from './finding.ts'

const ON_DATABASE: ReadonlySet<CheckName> = new Set([
  'database',
  'clock',
  'disk',
  'time-zones',
  'backup',
  'releases',
])

/** Looks at all that the service needs, or at what is named. */
export async function examine(
  { config, gateway }: Settings,
  clock: Clock,
  asked: readonly CheckName[],
): Promise<Finding[]> {
  const wants = (check: CheckName): boolean => asked.includes(check)
  const findings: Finding[] = []
  if (wants('answers')) findings.push(await checkAnswers(config))
  if (asked.some((check) => ON_DATABASE.has(check) || check === 'redis')) {
    const own = { dataFolder: config.dataFolder, isThrowaway: false, report: () => undefined }
    const postgres = await openPostgres({ ...own, url: config.databaseUrl })
    try {
      findings.push(...(await onDatabase(postgres.url, config, clock)).filter(({ check }) => wants(check)))
      if (wants('redis')) {
        const redis = await openRedis({ ...own, url: config.redisUrl }, postgres.url)
        findings.push(await checkRedis(redis.url))
        await redis.close()
      }
    } finally {
      await postgres.close()
    }
  }
  if (wants('gateway')) findings.push(await checkGateway(gateway?.config ?? null))
  if (wants('transport')) findings.push(checkTransport(config))
  return findings
}

async function onDatabase(url: string, config: Settings['config'], clock: Clock): Promise<Finding[]> {
  let inspection: Inspection
  try {
    inspection = await inspectDatabase(url, MIGRATIONS)
  } catch (error) {
    const advice = 'Start it and look at DATABASE_URL, its password and the disk it is on.'
    return [bad('database', `it does not answer (${reasonOf(error)})`, advice)]
  }
  const now = clock.now()
  return [
    checkDatabase(inspection),
    checkClock(inspection, now),
    await checkDisk(config, inspection),
    checkTimeZones(inspection, now, process.versions['tz'] ?? 'unknown'),
    checkBackup(inspection, config, now),
    checkReleases(inspection, VERSION),
  ]
}
