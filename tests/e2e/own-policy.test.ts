/** A programme changes when families are reminded by a file of its own, without a release. */
import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { closePassedVisits } from '../../src/app/close-passed-visits.ts'
import { loadShelf } from '../../src/main/shelf.ts'
import { systemClock } from '../../src/platform/clock.ts'
import { readDataFile } from '../../src/platform/data-files.ts'
import { runDuebell } from '../support/run-duebell.ts'
import { testDeps } from '../support/test-deps.ts'
import { openTestDatabase } from '../support/test-database.ts'

const database = await openTestDatabase()
const { db, url } = database
const folder = mkdtempSync(join(tmpdir(), 'duebell-policies-'))
const put = (name: string, content: unknown): string => {
  const path = join(folder, name)
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content))
  return path
}
const shipped = readDataFile('policies/default.json') as object
put('sparing.json', {
  ...shipped,
  rules: [{ audience: {}, reminders: { eve: { days: -1, usefulUntil: { days: 0, at: '09:00' } } } }],
})
const elsewhere = mkdtempSync(join(tmpdir(), 'duebell-district-'))
const district = join(elsewhere, 'district.json')
writeFileSync(
  district,
  JSON.stringify({
    district: {
      name: 'Two Rivers',
      timeZone: 'Africa/Nairobi',
      region: 'GB',
      schedule: 'who-2025-preferred',
      reminderPolicy: 'sparing',
    },
    posts: [{ name: 'Ford post', sessions: ['FREQ=WEEKLY;BYDAY=MO'] }],
    villages: [{ name: 'Amber Ford', post: 'Ford post' }],
  }),
)
const environment = { DATABASE_URL: url, REMINDER_POLICIES_FOLDER: folder }

test('a district is reminded by a policy of its own, put beside the release as a file', async () => {
  const without = await runDuebell(['load-district', district], { DATABASE_URL: url })
  expect(without.complaint).toContain('sparing is no reminder policy here')

  expect((await runDuebell(['load-district', district], environment)).exitCode).toBe(0)
  const register = join(elsewhere, 'register.csv')
  const born = new Date(Date.now() - 20 * 86_400_000).toISOString().slice(0, 10)
  writeFileSync(
    register,
    `card_number,name,sex,birth_date,village,phone,language,BCG\n,Asha Temba,female,${born},Amber Ford,07700900123,en,${born}\n`,
  )
  const imported = await runDuebell(['import-register', register], environment)
  expect(imported).toMatchObject({ exitCode: 0 })

  // What the service does at its next sweep.
  await closePassedVisits({ ...testDeps(database, systemClock), shelf: loadShelf(folder) })

  const kinds = (await db.reminder.findMany()).map(({ kind }) => kind)
  expect(kinds).toEqual(['eve'])
})

test('a file that is no policy stops the start, and is named with what is wrong', async () => {
  put('torn.json', '{')
  put('long.json', { ...shipped, horizonDays: 'long' })

  const { exitCode, complaint } = await runDuebell(['serve'], { ...environment, HTTP_PORT: 'front' })

  expect(exitCode).toBe(2)
  expect(complaint).toMatch(/HTTP_PORT: /)
  expect(complaint).toMatch(/REMINDER_POLICIES_FOLDER: long\.json: .*horizonDays/)
  expect(complaint).toMatch(/REMINDER_POLICIES_FOLDER: torn\.json: /)
})
