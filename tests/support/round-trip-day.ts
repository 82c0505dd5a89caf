import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { formatDay, mustParseDay } from '../../src/core/days/day.ts'
import { dayColumn, fromDate, toDate } from '../../src/store/days.ts'
import { openTestPool } from './test-database.ts'

/*
 * Writes a day and reads it back, by the client and by a statement: `round-trip-day.ts URL DAY`. A program of
 * its own, as a process keeps the time zone it starts with.
 */
const [url = '', day = ''] = process.argv.slice(2)
const zone = process.env['TZ'] ?? ''
const { db, close } = await openTestPool(url)
const id = randomUUID()
const { effectiveOn } = await db.scheduleVersion.create({
  data: { id, code: zone, effectiveOn: toDate(mustParseDay(day)), data: {}, publishedBy: 'a test' },
})
const rows =
  await db.$queryRaw`select effective_on::text as "on" from schedule_version where id = ${id}::uuid`
const [row] = z.tuple([z.object({ on: dayColumn })]).parse(rows)
await close()
process.stdout.write(
  JSON.stringify({ zone, byClient: formatDay(fromDate(effectiveOn)), byStatement: formatDay(row.on) }),
)
