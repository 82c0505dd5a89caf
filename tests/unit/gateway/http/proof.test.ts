import { createHmac } from 'node:crypto'
import { proofReader } from '../../../../src/gateway/http/proof.ts'
import type { Proof } from '../../../../src/gateway/http/http-config.ts'

const SENT_AT = 1_773_565_200
let nowMs: number

beforeEach(() => {
  nowMs = SENT_AT * 1000
})

const hmac: Proof = {
  kind: 'hmac',
  header: 'x-signature',
  prefix: 'v=',
  algorithm: 'sha256',
  encoding: 'hex',
  signs: '{{timestamp}}.{{body}}',
  timestampHeader: 'x-at',
  timestampIs: 'seconds',
  windowSeconds: 300,
  secrets: ['new', 'old'],
}

function reader(proof: Proof = hmac) {
  return proofReader({ proof, secrets: { new: 'n3w', old: '0ld' }, clock: { now: () => new Date(nowMs) } })
}

function signed(body: Buffer, key: string, at = SENT_AT) {
  const digest = createHmac('sha256', key)
    .update(`${String(at)}.`)
    .update(body)
    .digest('hex')
  return { method: 'POST', query: '', body, headers: { 'x-at': String(at), 'x-signature': `v=${digest}` } }
}

const body = Buffer.from('text=%E9\u00e9', 'latin1')
const work = (): Promise<string> => Promise.resolve('done')
const refused = { code: 'signature-invalid' }

describe('whenProven with a signature', () => {
  // RFC 4231 §4.3, test case 2 of HMAC-SHA-256.
  test('agrees with the published vector', async () => {
    const request = {
      method: 'POST',
      query: '',
      body: Buffer.from('what do ya want for nothing?'),
      headers: {
        'x-at': String(SENT_AT),
        'x-signature': '5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843',
      },
    }
    const proof = { ...hmac, prefix: '', signs: '{{body}}', secrets: ['rfc'] }
    const options = { proof, secrets: { rfc: 'Jefe' }, clock: { now: () => new Date(nowMs) } }

    await expect(proofReader(options).whenProven(request, work)).resolves.toBe('done')
  })

  test.each(['n3w', '0ld'])('accepts bytes signed with %s, also while secrets change', async (key) => {
    await expect(reader().whenProven(signed(body, key), work)).resolves.toBe('done')
  })

  test.each([
    ['signed with another key', () => signed(body, 'other')],
    ['changed after signing', () => ({ ...signed(body, 'n3w'), body: Buffer.from('text=x') })],
    ['without a signature', () => ({ ...signed(body, 'n3w'), headers: { 'x-at': String(SENT_AT) } })],
    ['without a timestamp', () => ({ ...signed(body, 'n3w'), headers: {} })],
    ['with a timestamp that is none', () => ({ ...signed(body, 'n3w'), headers: { 'x-at': 'NaN' } })],
    ['signed too long ago', () => signed(body, 'n3w', SENT_AT - 301)],
    ['signed too far ahead', () => signed(body, 'n3w', SENT_AT + 301)],
  ])('refuses a request %s', async (_, request) => {
    await expect(reader().whenProven(request(), work)).rejects.toMatchObject(refused)
  })

  test('refuses a request that was dealt with, for as long as its timestamp would pass', async () => {
    const proofs = reader()
    const request = signed(body, 'n3w', SENT_AT + 300)
    await proofs.whenProven(request, work)
    nowMs += 599_000

    await expect(proofs.whenProven(request, work)).rejects.toMatchObject(refused)
  })

  test('refuses what it has seen within the window where the provider gives no timestamp', async () => {
    const proofs = reader({ ...hmac, timestampHeader: undefined, signs: '{{body}}' })
    const digest = createHmac('sha256', 'n3w').update(body).digest('hex')
    const request = { method: 'POST', query: '', body, headers: { 'x-signature': `v=${digest}` } }
    await proofs.whenProven(request, work)

    await expect(proofs.whenProven(request, work)).rejects.toMatchObject(refused)
    nowMs += 601_000
    await expect(proofs.whenProven(request, work)).resolves.toBe('done')
  })

  test('takes a request again whose work failed', async () => {
    const proofs = reader()
    const request = signed(body, 'n3w')

    await expect(proofs.whenProven(request, () => Promise.reject(new Error('no database')))).rejects.toThrow(
      'no database',
    )
    await expect(proofs.whenProven(request, work)).resolves.toBe('done')
  })
})

describe('whenProven with less', () => {
  test('lets a request through that carries the token, and no other', async () => {
    const proofs = reader({ kind: 'token', header: 'x-token', secrets: ['new'] })
    const request = { method: 'POST', query: '', body, headers: { 'x-token': 'n3w' } }

    await expect(proofs.whenProven(request, work)).resolves.toBe('done')
    await expect(proofs.whenProven({ ...request, headers: {} }, work)).rejects.toMatchObject(refused)
  })

  test('lets everything through where no proof was asked for', async () => {
    await expect(
      reader({ kind: 'none' }).whenProven({ method: 'GET', query: '', body, headers: {} }, work),
    ).resolves.toBe('done')
  })
})

test('a secret that is not set is an error at once', () => {
  expect(() => reader({ kind: 'token', header: 'x', secrets: ['missing'] })).toThrow('"missing" is not set')
})
