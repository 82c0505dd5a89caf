import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { makeToken } from '../../src/app/tokens.ts'
import type { TokenRole } from '../../src/app/tokens.ts'
import { newSecret } from '../../src/platform/ids.ts'
import { fastClock } from './fast-clock.ts'
import type { FastClockSettings } from './fast-clock.ts'
import { startJsonProvider } from './json-provider.ts'
import type { JsonProvider } from './json-provider.ts'
import { startRoles } from './role-process.ts'
import type { RoleProcess } from './role-process.ts'
import { openTestDatabase } from './test-database.ts'
import type { TestDatabase } from './test-database.ts'
import { testDeps } from './test-deps.ts'
import { openTestRedis } from './test-redis.ts'

/** Processes of the service that share a database, a Redis and a provider, on one clock. */
export interface RoleCrew {
  readonly database: TestDatabase
  readonly provider: JsonProvider
  /** Starts one process for each text of roles and waits until all serve. */
  readonly start: (...roles: readonly string[]) => Promise<RoleProcess[]>
  readonly tokenFor: (role: TokenRole, districtId?: string) => Promise<string>
}

const PATIENCE_MS = 90_000

/** Opens the surroundings; all that was started ends after the last test of the file. */
export async function openRoleCrew(clockSettings: Required<FastClockSettings>): Promise<RoleCrew> {
  const clock = fastClock(clockSettings)
  const database = await openTestDatabase()
  const redis = openTestRedis()
  const provider = await startJsonProvider(clock)
  const folder = mkdtempSync(join(tmpdir(), 'duebell-roles-'))
  const gatewayFile = join(folder, 'gateway.json')
  writeFileSync(gatewayFile, JSON.stringify(provider.description))
  const secrets = Object.entries(provider.secrets).map(
    ([name, value]) => [`GATEWAY_SECRET_${name.replaceAll('-', '_').toUpperCase()}`, value] as const,
  )
  const environment: Readonly<Record<string, string>> = {
    ...clockSettings,
    ...Object.fromEntries(secrets),
    DATABASE_URL: database.url,
    DATABASE_CONNECTIONS: '5',
    REDIS_URL: redis.url,
    QUEUE_PREFIX: redis.prefix,
    GATEWAY_FILE: gatewayFile,
  }
  const running: RoleProcess[] = []
  afterAll(async () => {
    await Promise.all(running.map((one) => one.kill()))
    await provider.stop()
    rmSync(folder, { recursive: true })
  })
  const deps = testDeps(database, clock)
  return {
    database,
    provider,
    start: async (...roles) => {
      const started = await Promise.all(roles.map((one) => startRoles(one, environment)))
      running.push(...started)
      return started
    },
    tokenFor: async (role, districtId) => {
      const wish = { name: role, role, districtId: districtId ?? null, expiresAt: null }
      return (await makeToken(deps, newSecret, wish)).secret
    },
  }
}

/** Waits for what other processes do; none of them can be awaited. */
export async function until(what: string, holds: () => boolean | Promise<boolean>): Promise<void> {
  for (const end = Date.now() + PATIENCE_MS; Date.now() < end;) {
    if (await holds()) return
    await delay(100)
  }
  throw new Error(`not in time: ${what}`)
}
