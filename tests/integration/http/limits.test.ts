/** Limits against floods and guessing, on a real Redis. */
import { connect } from 'node:net'
import { once } from 'node:events'
import { makeToken } from '../../../src/app/tokens.ts'
import { buildServer } from '../../../src/http/server.ts'
import { pagesRouter } from '../../../src/http/pages/pages-router.ts'
import { listen } from '../../../src/main/listen.ts'
import { newCode, newSecret } from '../../../src/platform/ids.ts'
import { openLifecycle } from '../../../src/platform/lifecycle.ts'
import { openRequestLimits } from '../../../src/platform/request-limits.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { openTestDatabase } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'
import { openTestRedis } from '../../support/test-redis.ts'

const database = await openTestDatabase()
const redis = openTestRedis()
const lifecycle = openLifecycle(10_000)
afterAll(() => lifecycle.stop())
const deps = testDeps(database, fixedClock('2026-03-02T09:00Z'))
const { secret: token } = await makeToken(deps, newSecret, {
  name: 'tests',
  role: 'officer',
  districtId: null,
  expiresAt: null,
})

let services = 0

/** A service with small limits and counters of its own. */
async function limitedService(perMinute: Readonly<Record<string, number>>, redisUrl = redis.url) {
  services += 1
  const place = { url: redisUrl, isCluster: false }
  const limits = await openRequestLimits({ place, prefix: `{${redis.prefix}-${services}}`, perMinute })
  lifecycle.onStop('the limits', limits.close)
  const pages = [pagesRouter(deps, { newSecret, newCode })]
  const another = () => {
    const app = buildServer({
      deps,
      version: '0.0.0',
      receivers: new Map(),
      pages,
      limits,
      trustedProxies: 1,
    })
    return listen(app, { host: '127.0.0.1', port: 0, lifecycle })
  }
  return { address: await another(), another }
}

/** Each test calls from an address of its own, as a trusted proxy names it. */
const from = (address: string) => ({ 'x-forwarded-for': address })
const bearer = { authorization: `Bearer ${token}` }

async function statuses(times: number, ask: () => Promise<Response>): Promise<number[]> {
  const all: number[] = []
  for (let time = 0; time < times; time += 1) all.push((await ask()).status)
  return all
}

describe('a flood', () => {
  test('from one address is stopped with the seconds to wait, and other addresses are served', async () => {
    const { address } = await limitedService({ addresses: 5 })
    const ask = () => fetch(`${address}/v1/districts`, { headers: { ...bearer, ...from('192.0.2.1') } })

    expect(await statuses(7, ask)).toEqual([200, 200, 200, 200, 200, 429, 429])
    const refused = await ask()
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0)
    expect(Number(refused.headers.get('retry-after'))).toBeLessThanOrEqual(60)
    expect(await refused.json()).toMatchObject({ code: 'too-many-requests', status: 429 })
    const other = await fetch(`${address}/v1/districts`, { headers: { ...bearer, ...from('192.0.2.2') } })
    expect(other.status).toBe(200)
  })

  test('with one token is stopped wherever it comes from, over all processes together', async () => {
    const { address, another } = await limitedService({ tokens: 4 })
    const addresses = [address, await another()]
    let turn = 0
    const ask = () => {
      turn += 1
      const headers = { ...bearer, ...from(`192.0.2.${turn}`) }
      return fetch(`${addresses[turn % 2] ?? ''}/v1/districts`, { headers })
    }

    expect(await statuses(6, ask)).toEqual([200, 200, 200, 200, 429, 429])
  })

  test('never reaches whoever asks whether the service lives', async () => {
    const { address } = await limitedService({ addresses: 1 })

    expect(await statuses(5, () => fetch(`${address}/health/live`))).toEqual([200, 200, 200, 200, 200])
  })

  test('is still stopped while Redis is away', async () => {
    const { address } = await limitedService({ addresses: 3 }, 'redis://127.0.0.1:1')

    const ask = () => fetch(`${address}/v1/districts`, { headers: { ...bearer, ...from('192.0.2.9') } })
    expect(await statuses(5, ask)).toEqual([200, 200, 200, 429, 429])
  })
})

describe('guessing', () => {
  test('tokens shuts the address out, also with a right one, for at most a minute', async () => {
    const { address } = await limitedService({ refusals: 3 })
    const ask = (authorization: string) =>
      fetch(`${address}/v1/districts`, { headers: { authorization, ...from('192.0.2.1') } })

    const guesses = await statuses(12, () => ask(`Bearer ${newSecret()}`))
    const refused = await ask(`Bearer ${token}`)

    // An answer is counted when it has left: one more guess may slip in between.
    expect(guesses.slice(0, 3)).toEqual([401, 401, 401])
    expect(guesses.slice(6)).toEqual([429, 429, 429, 429, 429, 429])
    expect(refused.status).toBe(429)
    expect(Number(refused.headers.get('retry-after'))).toBeLessThanOrEqual(60)
  })

  test('codes, links or numbers of the pages is stopped by address', async () => {
    const { address } = await limitedService({ 'sign-ins': 3 })
    const ask = () =>
      fetch(`${address}/sign-in/number`, {
        method: 'POST',
        headers: from('192.0.2.1'),
        body: new URLSearchParams({ number: '+447700900999' }),
        redirect: 'manual',
      })

    expect(await statuses(5, ask)).toEqual([303, 303, 303, 429, 429])
  })
})

const patience = { headersMs: 300, requestMs: 400, silenceMs: 500, checkMs: 50 }

test('a connection over which nothing moves is closed', async () => {
  const silent = await listen(() => undefined, { host: '127.0.0.1', port: 0, lifecycle, patience })

  await expect(fetch(silent)).rejects.toMatchObject({ cause: { code: 'UND_ERR_SOCKET' } })
})

test('a request that is sent letter by letter is cut off', async () => {
  const app = buildServer({ deps, version: '0.0.0', receivers: new Map(), pages: [] })
  const { port } = new URL(await listen(app, { host: '127.0.0.1', port: 0, lifecycle, patience }))
  const socket = connect(Number(port), '127.0.0.1')
  const closed = once(socket, 'close')
  let answer = ''
  socket.on('data', (part: Buffer) => (answer += part.toString()))
  socket.write('GET /v1/districts HTTP/1.1\r\nhost: x\r\nx-slow: ')

  await closed

  expect(answer).toMatch(/^HTTP\/1\.1 408 /)
})
