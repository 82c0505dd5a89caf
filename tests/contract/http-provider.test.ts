import type { CallbackRequest, Receipt } from '../../src/app/ports.ts'
import { HttpGatewayConfig } from '../../src/gateway/http/http-config.ts'
import { httpGateway, type HttpGateway } from '../../src/gateway/http/http-gateway.ts'
import { startTestProvider, type TestProvider } from '../support/test-provider.ts'
import { NOW, quietLog, stillClock } from './network.ts'

const reminder = { id: 'm1', to: '+447700900123', body: 'Tue & Wed', validUntil: null, urgent: false }
const noHandlers = {
  onText: () => Promise.resolve(),
  onReceipt: () => Promise.resolve(),
  onScreen: () => Promise.resolve({ text: '', ends: true }),
}

let provider: TestProvider

beforeEach(async () => {
  provider = await startTestProvider()
})

afterEach(() => provider.stop())

function gatewayOf(description: object): HttpGateway {
  const config = HttpGatewayConfig.parse({ kind: 'http', name: 'p', ...description })
  return httpGateway({
    config,
    secrets: { token: 's3cret' },
    clock: stillClock,
    log: quietLog,
    random: () => 0,
  })
}

function submitTo(url: string, more: object = {}): object {
  return { submit: { request: { url, timeoutMs: 2000, ...more } } }
}

describe('what the provider is sent', () => {
  test('is what the description says, values escaped, secrets filled in, empty fields left out', async () => {
    provider.answer(() => ({ status: 200, body: '' }))
    const gateway = gatewayOf(
      submitTo(`${provider.url}/send?to={{to}}`, {
        method: 'PUT',
        headers: { authorization: 'Bearer {{secret.token}}', 'idempotency-key': '{{id}}' },
        body: { contentType: 'application/json', content: { text: '{{text}}', until: '{{validUntil}}' } },
      }),
    )

    await gateway.submit(reminder)

    expect(provider.requests[0]).toMatchObject({
      method: 'PUT',
      path: '/send?to=%2B447700900123',
      headers: {
        authorization: 'Bearer s3cret',
        'idempotency-key': 'm1',
        'content-type': 'application/json',
      },
      body: '{"text":"Tue & Wed"}',
    })
  })

  test('says for how long the text is of use, and a text of no use is not sent', async () => {
    provider.answer(() => ({ status: 200, body: '' }))
    const gateway = gatewayOf(submitTo(`${provider.url}/?until={{validUntil}}&for={{validSeconds}}`))

    await gateway.submit({ ...reminder, validUntil: new Date(NOW.getTime() + 90_500) })
    const late = await gateway.submit({ ...reminder, validUntil: NOW })

    expect(provider.requests.map((request) => request.path)).toEqual([
      '/?until=2026-03-15T09%3A01%3A30.500Z&for=90',
    ])
    expect(late).toMatchObject({ kind: 'rejected', fault: 'message' })
  })

  test('is never the answer to a redirect', async () => {
    provider.answer(() => ({ status: 302, headers: { location: '/elsewhere' }, body: '' }))

    const answer = await gatewayOf(submitTo(provider.url)).submit(reminder)

    expect(answer).toMatchObject({ kind: 'rejected', fault: 'account' })
    expect(provider.requests).toHaveLength(1)
  })
})

describe('a provider in trouble', () => {
  test('that is not there gets nothing, so the text may be tried later', async () => {
    await provider.stop()

    expect(await gatewayOf(submitTo(provider.url)).submit(reminder)).toMatchObject({ kind: 'try-later' })
    provider = await startTestProvider()
  })

  test('that hangs up after reading may have taken the text', async () => {
    provider.answer(() => Promise.reject(new Error('hang up')))

    expect(await gatewayOf(submitTo(provider.url)).submit(reminder)).toMatchObject({ kind: 'unclear' })
  })

  test('is left alone after some failures in a row, and asked again after a rest', async () => {
    provider.answer(() => ({ status: 503, body: '' }))
    const gateway = gatewayOf({ ...submitTo(provider.url), breaker: { failures: 2, restMs: 500 } })
    await gateway.submit(reminder)
    await gateway.submit(reminder)

    expect(gateway.isUp?.()).toBe(false)
    expect(await gateway.submit(reminder)).toMatchObject({ kind: 'try-later', retryAfterMs: 500 })
    expect(provider.requests).toHaveLength(2)

    provider.answer(() => ({ status: 200, body: '' }))
    while ((await gateway.submit(reminder)).kind !== 'accepted')
      await new Promise((resolve) => setImmediate(resolve))
    expect(gateway.isUp?.()).toBe(true)
  })

  test('that refuses one text is not in trouble', async () => {
    provider.answer(() => ({ status: 422, body: '' }))
    const gateway = gatewayOf({ ...submitTo(provider.url), breaker: { failures: 1 } })

    await gateway.submit(reminder)

    expect(gateway.isUp?.()).toBe(true)
  })
})

describe('the pace of a provider', () => {
  const ids = (): (string | undefined)[] => provider.requests.map(({ path }) => /id=(\w+)/.exec(path)?.[1])

  function paced(pace: object): HttpGateway {
    const request = { url: `${provider.url}/?id={{id}}`, timeoutMs: 2000 }
    return gatewayOf({ submit: { request, ...pace } })
  }

  test('is kept: no more requests wait for an answer than its window, and urgent texts go first', async () => {
    let [open, most] = [0, 0]
    provider.answer(async () => {
      open += 1
      most = Math.max(most, open)
      await new Promise((resolve) => setImmediate(resolve))
      open -= 1
      return { status: 200, body: '' }
    })
    const gateway = paced({ window: 1 })

    const bulk = ['a', 'b', 'c', 'd'].map((id) => gateway.submit({ ...reminder, id }))
    await Promise.all([...bulk, gateway.submit({ ...reminder, id: 'e', urgent: true })])

    expect(most).toBe(1)
    expect(ids()).toEqual(['a', 'e', 'b', 'c', 'd'])
  })

  test('waits for its rate, and a text without a turn in time is given back', async () => {
    provider.answer(() => ({ status: 200, body: '' }))
    const gateway = paced({ textsPerSecond: 0.001, patienceMs: 20 })

    expect(await gateway.submit(reminder)).toMatchObject({ kind: 'try-later', reason: 'no turn in time' })
    expect(provider.requests).toHaveLength(0)
    await gateway.close()
  })

  test('slows down after 429, and what waits is given back when the gateway closes', async () => {
    provider.answer(() => ({ status: 429, headers: { 'retry-after': '7' }, body: '' }))
    const gateway = paced({ window: 1 })
    const first = gateway.submit({ ...reminder, id: 'a' })
    const second = gateway.submit({ ...reminder, id: 'b' })

    expect(await first).toMatchObject({ kind: 'try-later', retryAfterMs: 7000 })
    await gateway.close()

    expect(await second).toMatchObject({ kind: 'try-later' })
    expect(ids()).toEqual(['a'])
  })
})

describe('a provider that does not call back', () => {
  test('is asked in batches about the texts still open, until each has come to an end', async () => {
    const fates: Record<string, string> = { m1: 'on', m2: 'ok', m3: 'ok' }
    provider.answer(({ path }) => {
      const ids = new URL(path, provider.url).searchParams.get('ids')
      if (ids === null) return { status: 200, body: '' }
      return {
        status: 200,
        body: JSON.stringify({ all: ids.split(',').map((id) => ({ id, is: fates[id] })) }),
      }
    })
    const gateway = gatewayOf({
      ...submitTo(provider.url),
      pollReceipts: {
        request: { method: 'GET', url: `${provider.url}/?ids={{providerIds}}` },
        everyMs: 5,
        batch: 2,
        each: 'all',
        fields: { providerId: 'id', state: 'is' },
        states: { ok: 'delivered', on: 'under-way' },
      },
    })
    gateway.followReceipts(['m3'])
    const receipts: Receipt[] = []
    const complete = new Promise<void>((resolve) => {
      void gateway.open({
        ...noHandlers,
        onReceipt(receipt) {
          receipts.push(receipt)
          if (receipt.providerId === 'm1' && receipt.state === 'under-way') fates['m1'] = 'ok'
          if (receipt.providerId === 'm1' && receipt.state === 'delivered') resolve()
          return Promise.resolve()
        },
      })
    })
    await gateway.submit(reminder)
    await gateway.submit({ ...reminder, id: 'm2' })

    await complete
    await gateway.close()

    const said = receipts.map(({ providerId, state }) => `${providerId} ${state}`).sort()
    expect(said).toEqual(['m1 delivered', 'm1 under-way', 'm2 delivered', 'm3 delivered'])
  })
})

describe('what the gateway refuses', () => {
  const request: CallbackRequest = { method: 'POST', headers: {}, query: '', body: Buffer.from('a=1') }

  test('is a purpose that was not described', async () => {
    const gateway = gatewayOf({ ...submitTo(provider.url), receive: { proof: { kind: 'none' } } })
    await gateway.open(noHandlers)

    await expect(gateway.receive('text', request)).rejects.toMatchObject({ code: 'route-not-found' })
    await expect(gatewayOf(submitTo(provider.url)).receive('text', request)).rejects.toMatchObject({
      code: 'route-not-found',
    })
  })

  test('is to start without a secret it needs', () => {
    const description = submitTo(provider.url, { headers: { authorization: '{{secret.other}}' } })

    expect(() => gatewayOf(description)).toThrow('"other" is not set')
  })
})
