/** Pages read from a replica: the same server over connections that can write nothing. */
import { readFileSync } from 'node:fs'
import { makeToken } from '../../../src/app/tokens.ts'
import { newSecret } from '../../../src/platform/ids.ts'
import { fieldOf, loadTestDistrict, openPageServer, takeRegister } from '../../support/page-server.ts'
import { scheduleFromFile } from '../../support/schedules.ts'

/** PostgreSQL 17, "Client Connection Defaults": a session whose transactions are read-only refuses every write. */
function readOnly(url: string): string {
  const address = new URL(url)
  address.searchParams.set('options', '-c default_transaction_read_only=on')
  return address.href
}

const schedule = scheduleFromFile('tests/fixtures/coverage/schedule.json')
const server = await openPageServer('2026-11-25T08:00Z', [schedule], readOnly)
const { database, deps } = server
const fixture = (name: string) => readFileSync(`tests/fixtures/coverage/${name}`, 'utf8')
const district = await loadTestDistrict(server, JSON.parse(fixture('district.json')))
await takeRegister(server, district.id, fixture('register.csv'))
const manager = server.visitor()
const { secret } = await makeToken(deps, newSecret, {
  name: 'the manager',
  role: 'manager',
  districtId: district.id,
  expiresAt: null,
})
await manager.post('/sign-in/token', { token: secret, next: '/district' })
const path = (page: string) => `/districts/${district.id}${page}`

describe('with a read replica', () => {
  test('the replica of this test refuses to write', async () => {
    await expect(deps.database.reading.village.deleteMany({})).rejects.toThrow(/read-only transaction/)
  })

  test.each([
    '',
    '/coverage',
    '/coverage.csv',
    '/doses',
    '/progress',
    '/map',
    '/sessions',
    '/lists',
    '/find?name=a',
    '/texts',
    '/data-check',
    '/schedule',
  ])('the page "%s" is made from it', async (page) => {
    expect((await manager.get(path(page))).status).toBe(200)
  })

  test('who read which page is kept on the primary', async () => {
    const before = await database.db.change.count({ where: { act: 'view' } })

    await manager.get(path('/map'))

    expect(await database.db.change.count({ where: { act: 'view' } })).toBe(before + 1)
  })

  test('a note about a child is written to the primary and shows at once', async () => {
    const child = await database.db.child.findFirstOrThrow({ where: { status: 'active' } })
    const page = await manager.get(path(`/children/${child.id}`))

    const sent = await manager.post(path(`/children/${child.id}/outcome`), {
      formToken: fieldOf(page, 'formToken'),
      outcome: 'lost',
      reason: 'house empty',
    })

    expect(sent.status).toBe(303)
    expect((await manager.get(sent.location)).text).toContain('house empty')
  })
})
