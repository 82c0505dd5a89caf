import { isPublicAddress, webhookPoster } from '../../../src/gateway/webhooks/poster.ts'
import { startTestProvider } from '../../support/test-provider.ts'

const post = (url: string) => ({ url, headers: { 'content-type': 'application/json' }, body: '{}' })
const closed = webhookPoster({ privateHosts: new Set(), timeoutMs: 2000 })
const open = webhookPoster({ privateHosts: new Set(['127.0.0.1']), timeoutMs: 500 })

// IANA special-purpose address registries (RFC 6890), and the cloud metadata address everyone guards against.
test.each([
  '127.0.0.1',
  '10.1.2.3',
  '172.16.0.1',
  '192.168.1.1',
  '169.254.169.254',
  '100.64.0.1',
  '0.0.0.0',
  '224.0.0.1',
  '255.255.255.255',
  '::1',
  '::',
  'fe80::1',
  'fd00::1',
  '::ffff:10.0.0.1',
  '64:ff9b::a00:1',
  'not an address',
])('%s is not public', (address) => {
  expect(isPublicAddress(address)).toBe(false)
})

test.each(['8.8.8.8', '192.0.1.1', '2606:4700:4700::1111', '::ffff:8.8.8.8'])('%s is public', (address) => {
  expect(isPublicAddress(address)).toBe(true)
})

test.each([
  'https://127.0.0.1/hook',
  'https://[::1]/hook',
  'https://[::ffff:127.0.0.1]/hook',
  'https://2130706433/hook',
  'https://0x7f.1/hook',
  // The name leads to a loopback address.
  'https://localhost/hook',
])('%s is not called', async (url) => {
  expect(await closed.post(post(url))).toMatchObject({ kind: 'forbidden' })
})

test('plain http is not called, except where it is allowed', async () => {
  const receiver = await startTestProvider()
  try {
    expect(await closed.post(post(receiver.url))).toEqual({
      kind: 'forbidden',
      reason: 'only https is called',
    })
    expect(await open.post(post(receiver.url))).toMatchObject({ kind: 'answered', status: 404 })
    expect(receiver.requests).toHaveLength(1)
  } finally {
    await receiver.stop()
  }
})

test('a redirect is an answer, not a way to somewhere else', async () => {
  const receiver = await startTestProvider()
  receiver.answer(() => ({ status: 307, headers: { location: 'http://169.254.169.254/' }, body: '' }))
  try {
    expect(await open.post(post(receiver.url))).toMatchObject({ kind: 'answered', status: 307 })
    expect(receiver.requests).toHaveLength(1)
  } finally {
    await receiver.stop()
  }
})

test('silence ends after the time allowed, a closed port at once, and neither throws', async () => {
  const receiver = await startTestProvider()
  receiver.answer(() => null)
  try {
    expect(await open.post(post(receiver.url))).toMatchObject({ kind: 'failed' })
  } finally {
    await receiver.stop()
  }
  expect(await open.post(post(receiver.url))).toEqual({ kind: 'failed', reason: 'ECONNREFUSED' })
})

test('a wait that the receiver asks for is handed on', async () => {
  const receiver = await startTestProvider()
  receiver.answer(() => ({ status: 429, headers: { 'retry-after': '120' }, body: 'later' }))
  try {
    expect(await open.post(post(receiver.url))).toEqual({
      kind: 'answered',
      status: 429,
      retryAfterMs: 120_000,
    })
  } finally {
    await receiver.stop()
  }
})
