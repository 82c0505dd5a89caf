import { execFile } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { promisify } from 'node:util'
import { openTestDatabase, openTestPool } from '../../support/test-database.ts'

const { url, pool } = await openTestDatabase()
const execute = promisify(execFile)

describe('whatever zone the database is set to', () => {
  // As on a server that somebody set up by hand.
  beforeAll(() =>
    pool.query(`do $$ begin
      execute format('alter database %I set timezone to %L', current_database(), 'Africa/Nairobi');
    end $$`),
  )

  test('sessions of the service run in UTC', async () => {
    const database = await openTestPool(url)

    const zone = await database.db.$queryRaw`select current_setting('TimeZone') as zone`
    await database.close()

    expect(zone).toEqual([{ zone: 'UTC' }])
  })

  test('an instant from the client and one from the database agree', async () => {
    const database = await openTestPool(url)
    const id = randomUUID()
    const aSchedule = { id, code: id, effectiveOn: new Date('2026-01-01'), data: {}, publishedBy: 'a test' }

    await database.db.scheduleVersion.create({ data: { ...aSchedule, publishedAt: new Date() } })
    const rows = await database.db.$queryRaw<{ apart: number }[]>`
      select abs(extract(epoch from now() - published_at))::float8 as apart from schedule_version where id = ${id}::uuid`
    await database.close()

    expect(rows[0]?.apart).toBeLessThan(5)
  })
})

test('an address that asks for another zone does not get it', async () => {
  const elsewhere = new URL(url)
  elsewhere.searchParams.set('options', '-c TimeZone=Asia/Kathmandu')

  const database = await openTestPool(elsewhere.href)
  const zone = await database.db.$queryRaw`select current_setting('TimeZone') as zone`
  await database.close()

  expect(zone).toEqual([{ zone: 'UTC' }])
})

test.each(['UTC', 'Africa/Nairobi', 'America/Bogota', 'Asia/Kathmandu', 'Pacific/Kiritimati'])(
  'a day stays the same day for a process in the zone %s',
  async (zone) => {
    const { stdout } = await execute(
      process.execPath,
      ['--import', 'tsx', 'tests/support/round-trip-day.ts', url, '2026-03-15'],
      { env: { ...process.env, TZ: zone } },
    )

    expect(JSON.parse(stdout)).toEqual({ zone, byClient: '2026-03-15', byStatement: '2026-03-15' })
    const { rows } = await pool.query(`select distinct effective_on from schedule_version where code = $1`, [
      zone,
    ])
    expect(rows).toEqual([{ effective_on: '2026-03-15' }])
  },
)
