import { buildServer } from '../../../src/http/server.ts'
import { listen } from '../../../src/main/listen.ts'
import { openLifecycle } from '../../../src/platform/lifecycle.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { openTestDatabase, openTestPool } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'

const { url } = await openTestDatabase()
const database = await openTestPool(url)
const lifecycle = openLifecycle(10_000)
afterAll(() => lifecycle.stop())

const deps = testDeps(database, fixedClock('2026-03-02T09:00Z'))
const app = buildServer({ deps, version: '0.0.0', receivers: new Map(), pages: [] })
const address = await listen(app, { host: '127.0.0.1', port: 0, lifecycle })

async function ask(path: string): Promise<readonly [number, unknown]> {
  const response = await fetch(`${address}${path}`)
  return [response.status, await response.json()]
}

describe('health', () => {
  test('is live while the process answers, ready only while the database does too', async () => {
    expect(await ask('/health/live')).toEqual([200, { status: 'live' }])
    expect(await ask('/health/ready')).toEqual([200, { status: 'ready' }])

    await database.close()

    expect(await ask('/health/live')).toEqual([200, { status: 'live' }])
    expect(await ask('/health/ready')).toEqual([503, { status: 'database-silent' }])
  })
})
