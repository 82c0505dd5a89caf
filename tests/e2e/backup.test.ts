/** Backups: taken while the service works, restored elsewhere, and gone on with. */
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { readdir } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import { reportCoverage } from '../../src/app/report-coverage.ts'
import { mustParseDay } from '../../src/core/days/day.ts'
import { listBackups } from '../../src/main/backup/files.ts'
import { restoreBackup } from '../../src/main/backup/restore-backup.ts'
import { takeBackup } from '../../src/main/backup/take-backup.ts'
import { openHandset } from '../../src/main/open-gateway.ts'
import { startService } from '../../src/main/service.ts'
import { readConfig } from '../../src/platform/config.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import { openLogger } from '../../src/platform/logger.ts'
import type { Deps } from '../../src/app/deps.ts'
import { runDuebell } from '../support/run-duebell.ts'
import { isGreeting, runningService } from '../support/running-service.ts'
import { emptyDatabases, openTestPool } from '../support/test-database.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'
import { openTestRedis } from '../support/test-redis.ts'
import { TEST_KEYS, testVault } from '../support/test-vault.ts'

const service = await runningService('2026-03-02T09:00+03:00')
const { clock } = service
const makeDatabase = emptyDatabases()
const redis = openTestRedis()

const folder = mkdtempSync(join(tmpdir(), 'duebell-backup-'))
const elsewhere = mkdtempSync(join(tmpdir(), 'duebell-copy-'))
const backups = { backupFolder: folder, backupCopyFolder: elsewhere, backupKeep: 3 }
const environment = (url: string) => ({
  DATABASE_URL: url,
  BACKUP_FOLDER: folder,
  SEALING_KEYS_FILE: TEST_KEYS,
  LOG_LEVEL: 'silent',
})
const configFor = (url: string) => readConfig(environment(url))
const backUp = () => takeBackup(service.deps, backups, service.database.url)
const silence = () => undefined

async function coverageOf({ database, shelf }: Pick<Deps, 'database' | 'shelf'>, districtId: string) {
  const window = {
    kind: 'period',
    fromOn: mustParseDay('2025-01-01'),
    toOn: mustParseDay('2026-12-31'),
  } as const
  const question = {
    districtId,
    window,
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
  } as const
  return reportCoverage(database.db, shelf, question)
}

/** A backup as text, less what names the moment, and the runs and keys, which a restore adds to. */
function contentsOf(path: string): string {
  return gunzipSync(readFileSync(path))
    .toString()
    .replace(/^COPY "(?:batch_run|sealing_key)"[^]*?^\\\.$/gm, '')
    .replace(/^-- .*$/gm, '')
}

/** Starts a service on a restored database, with the same clock and phones of its own. */
async function serviceOn(url: string) {
  const lifecycle = openLifecycle(10_000)
  const log = openLogger('silent')
  const database = await openTestPool(url)
  lifecycle.onStop('the database', database.close)
  const phones = openHandset(clock, log)
  const store = {
    ...database,
    url,
    vault: testVault,
    config: readConfig({ QUEUE_PREFIX: redis.prefix }),
    log,
    appliedSteps: [],
    openRedis: () => Promise.resolve(redis.url),
  }
  const started = await startService({
    store,
    lifecycle,
    clock,
    gateway: phones,

    concurrency: 2,
  })
  const liveUntil = async (instant: string) => {
    clock.moveTo(instant)
    await started.closeDay()
    for (let due = 1; due > 0;) {
      const { lanes, texts } = await started.sweep()
      await started.whenIdle()
      await phones.settled()
      due = lanes + texts
    }
  }
  return { deps: started.deps, phones, liveUntil, stop: lifecycle.stop }
}

describe('a backup', () => {
  test('taken while texts go out, restored after more went out: figures are equal, nobody is reminded twice', async () => {
    const district = await newDistrict(service)
    const children = []
    for (const birthDate of ['2026-01-20', '2026-01-22', '2026-01-24', '2026-02-20'])
      children.push(await district.enrol({ birthDate, name: `Child ${birthDate}`, village: 'Mbari' }))
    const phones = children.map(phoneOf)
    await service.ask(district.vaccinator, `GAVE ${children[0]?.cardNumber ?? ''} BCG`)
    // The visit is on Tuesday 10 March: three days and one day before it reminders leave.
    await service.liveThrough('2026-03-07T12:00+03:00')
    const figures = await coverageOf(service.deps, district.id)
    const { path } = await backUp()
    await service.liveThrough('2026-03-09T12:00+03:00')
    const before = phones.map((phone) => service.inbox(phone))

    const url = await makeDatabase()
    const said: string[] = []
    const say = (line: string) => void said.push(line)
    const choice = { isReplacing: false, hasSentNothing: false }
    await restoreBackup({ config: configFor(url), file: path, clock, say }, choice)

    const again = await serviceOn(url)
    expect(await coverageOf(again.deps, district.id)).toEqual(figures)
    await again.liveUntil('2026-03-09T18:00+03:00')
    await again.liveUntil('2026-03-12T12:00+03:00')
    const after = phones.map((phone) => again.phones.inbox(phone).map(({ body }) => body))
    await again.stop()

    expect(before.flat().length).toBeGreaterThanOrEqual(6)
    // What is due later still goes out: nobody came on Tuesday.
    expect(after.flat().length).toBeGreaterThanOrEqual(3)
    for (const [index, texts] of before.entries()) {
      const both = [...texts, ...(after[index] ?? [])].filter((body) => !isGreeting(body))
      expect(new Set(both).size).toBe(both.length)
    }
    expect(said.join('\n')).toMatch(/[1-9]\d* reminders and \d+ texts were due by now and may have left/)
  })

  test('of the restored database is the same backup', async () => {
    const { path } = await backUp()
    const url = await makeDatabase()
    const order = { config: configFor(url), file: path, clock, say: silence }

    await restoreBackup(order, { isReplacing: false, hasSentNothing: true })

    const database = await openTestPool(url)
    clock.advance({ minutes: 1 })
    const second = await takeBackup({ ...service.deps, database }, backups, url)
    await database.close()
    expect(contentsOf(second.path)).toBe(contentsOf(path))
    expect(contentsOf(path)).toContain('COPY "child"')
  })

  test('is copied elsewhere, compared, and the oldest make room', async () => {
    for (let taken = 0; taken < 4; taken += 1) {
      clock.advance({ minutes: 1 })
      await backUp()
    }

    const kept = await listBackups(folder)
    expect(kept).toHaveLength(3)
    expect((await readdir(elsewhere)).sort()).toEqual((await readdir(folder)).sort())
    const [newest = ''] = kept
    expect(readFileSync(newest)).toEqual(readFileSync(newest.replace(folder, elsewhere)))
  })

  test('leaves a run with its start, its end and what it held', async () => {
    clock.advance({ minutes: 1 })
    const { rows } = await backUp()

    const where = { kind: 'backup' }
    const [run] = await service.database.db.batchRun.findMany({
      where,
      orderBy: { startedAt: 'desc' },
      take: 1,
    })
    expect(run).toMatchObject({ endedAt: expect.any(Date) as Date, trouble: null })
    expect(run?.counts).toMatchObject({ rows, bytes: expect.any(Number) as number })
  })

  test.each([
    ['breaks off', (text: Buffer) => text.subarray(0, text.length - 200), 'breaks off'],
    [
      'was changed',
      (text: Buffer) => Buffer.from(text.toString().replace('Mbari', 'Mbasi')),
      'digest differs',
    ],
    ['is something else', () => Buffer.from('select 1;\n'), 'no backup'],
  ])('that %s is refused before anything is touched', async (_what, spoil, said) => {
    const { path } = await backUp()
    const spoilt = join(folder, 'spoilt.gz')
    writeFileSync(spoilt, gzipSync(spoil(gunzipSync(readFileSync(path)))))
    const url = await makeDatabase()

    const { exitCode, complaint } = await runDuebell(['restore', spoilt], environment(url))

    expect(complaint).toContain(said)
    expect(exitCode).toBe(1)
  })
})

describe('duebell backup and restore', () => {
  test('bring back what was wiped, prove it by a drill, and never overwrite unasked', async () => {
    const url = await makeDatabase()
    const mine = { ...environment(url), BACKUP_FOLDER: mkdtempSync(join(tmpdir(), 'duebell-cli-')) }
    await runDuebell(['load-district', 'src/data/demo/district.json'], mine)

    const taken = await runDuebell(['backup'], mine)
    expect(taken).toMatchObject({
      exitCode: 0,
      output: expect.stringContaining('read back and whole') as string,
    })
    const drill = await runDuebell(['restore', '--drill'], mine)
    expect(drill).toMatchObject({ exitCode: 0, output: expect.stringMatching(/village: \d+/) as string })
    const refused = await runDuebell(['restore'], mine)
    expect(refused).toMatchObject({ exitCode: 1, complaint: expect.stringContaining('--replace') as string })

    const database = await openTestPool(url)
    const villages = await database.db.village.count()
    const running = await runDuebell(['restore', '--replace'], mine)
    expect(running.complaint).toContain('stop it')
    await database.pool.query('drop schema public cascade; create schema public')
    await database.close()

    expect(await runDuebell(['restore'], mine)).toMatchObject({ exitCode: 0 })
    const back = await openTestPool(url)
    expect(await back.db.village.count()).toBe(villages)
    expect(await back.db.batchRun.findMany({ where: { kind: 'restore' } })).toHaveLength(1)
    await back.close()
  })
})
