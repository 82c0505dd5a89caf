/** `duebell doctor`: says what is the case and what to do. */
import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { z } from 'zod'
import { runDuebell } from '../support/run-duebell.ts'
import { openTestDatabase } from '../support/test-database.ts'
import { openTestRedis } from '../support/test-redis.ts'

const { url } = await openTestDatabase()
const { url: redisUrl } = openTestRedis()
const finding = z.object({
  check: z.string(),
  verdict: z.string(),
  found: z.string(),
  advice: z.string().nullable(),
})

async function examine(environment: Readonly<Record<string, string>>, ...only: readonly string[]) {
  const { exitCode, output } = await runDuebell(['doctor', '--json', '--only', ...only], environment)
  const lines = output.trim().split('\n')
  return { exitCode, findings: lines.map((line) => finding.parse(JSON.parse(line))) }
}

const BACKUP_FOLDER = mkdtempSync(join(tmpdir(), 'duebell-doctor-'))

describe('duebell doctor', () => {
  test('finds database, Redis, clock, disk and time zone data well', async () => {
    const environment = { DATABASE_URL: url, REDIS_URL: redisUrl, BACKUP_FOLDER }
    const { exitCode, findings } = await examine(
      environment,
      ...['database', 'redis', 'clock', 'disk', 'time-zones'],
    )

    expect(findings.filter(({ verdict }) => verdict === 'bad')).toEqual([])
    expect(findings.map(({ check }) => check).sort()).toEqual(
      ['clock', 'database', 'disk', 'redis', 'time-zones'].sort(),
    )
    expect(exitCode).toBe(0)
  })

  test('says what to do where nothing answers, no backup was taken and nothing is encrypted', async () => {
    const away = {
      DATABASE_URL: 'postgresql://x@127.0.0.1:1/x',
      REDIS_URL: 'redis://127.0.0.1:1',
      HTTP_PORT: '1',
    }
    const { exitCode, findings } = await examine(away, 'answers', 'database', 'redis')
    expect(findings.map(({ verdict }) => verdict)).toEqual(['bad', 'bad', 'bad'])
    for (const { advice } of findings) expect(advice).toMatch(/\w+ \w+/)
    expect(exitCode).toBe(1)

    const open = { DATABASE_URL: url, HTTP_HOST: '0.0.0.0', BACKUP_FOLDER }
    const { findings: others } = await examine(open, 'backup', 'transport')
    expect(others.map(({ check, verdict }) => [check, verdict])).toEqual([
      ['backup', 'bad'],
      ['transport', 'doubtful'],
    ])
  })
})
