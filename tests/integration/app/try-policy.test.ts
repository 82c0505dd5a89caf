import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseReminderPolicy } from '../../../src/core/reminders/policy.ts'
import { getDistrict } from '../../../src/store/districts.ts'
import { tryPolicy } from '../../../src/app/try-policy.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { runDuebell } from '../../support/run-duebell.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { database, deps } = service

const shipped = readDataFile('policies/default.json') as { readonly rules: readonly object[] }
/** The policy that ships, with one text the day before a visit and nothing else. */
const sparing = {
  ...shipped,
  rules: [{ audience: {}, reminders: { eve: { days: -1, usefulUntil: { days: 0, at: '09:00' } } } }],
}

test('a reminder policy is tried: it says how many texts it would send, and sends and stores none', async () => {
  const district = await newDistrict(service)
  const phone = district.newPhone()
  // Two children of one family on one day are one text.
  await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20', phone })
  await district.enrol({ name: 'Baraka Temba', birthDate: '2026-01-20', phone, isKnownToBeNew: true })
  await district.enrol({ name: 'Chui Reed', birthDate: '2026-01-20', isKnownToBeNew: true })
  await district.enrol({ name: 'Dalila Reed', birthDate: '2026-01-20', phone: null, isKnownToBeNew: true })
  const checked = parseReminderPolicy(sparing)
  if (checked.kind !== 'valid') throw new Error(checked.problems.join())
  const stored = await database.db.reminder.groupBy({ by: ['kind'], _count: true, orderBy: { kind: 'asc' } })

  const counts = await tryPolicy(deps, await getDistrict(database.db, district.id), checked.value, 31)

  const byKind = Object.fromEntries(counts.map(({ kind, now, onTrial }) => [kind, [now, onTrial]]))
  expect(byKind['eve']?.[1]).toBe(2)
  expect([byKind['ahead']?.[1], byKind['missed-1']?.[1], byKind['aftercare']?.[1]]).toEqual([0, 0, 0])
  // The policy in force counts what is planned, siblings together.
  for (const { kind } of stored) expect([kind, byKind[kind]?.[0]]).toEqual([kind, 2])
  expect(
    await database.db.reminder.groupBy({ by: ['kind'], _count: true, orderBy: { kind: 'asc' } }),
  ).toEqual(stored)
})

test('duebell try-policy refuses a file that is no policy, and says why', async () => {
  const file = join(mkdtempSync(join(tmpdir(), 'duebell-policy-')), 'policy.json')
  writeFileSync(file, JSON.stringify({ ...sparing, horizonDays: 'long' }))

  const { exitCode, complaint } = await runDuebell(['try-policy', file], { DATABASE_URL: database.url })

  expect(exitCode).toBe(1)
  expect(complaint).toContain('horizonDays')
})
