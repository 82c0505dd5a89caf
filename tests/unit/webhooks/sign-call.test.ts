import { Webhook } from 'standardwebhooks'
import { signedHeaders, webhookSecret } from '../../../src/app/webhooks/sign-call.ts'

/** The receiver's side, by the library of the Standard Webhooks project. */
const body = '{"type":"dose","data":{}}'
const secret = webhookSecret('aW52ZW50ZWQtc2VjcmV0LW9mLTMyLW9jdGV0cy0hIQ')
const former = webhookSecret('YW5vdGhlci1zZWNyZXQtb2YtdGhpcnR5LXR3by1vLiE')
const sign = (secrets: readonly string[], at = new Date()) =>
  signedHeaders({ id: '019abe80-0000-7000-8000-000000000001', at, body, secrets }) as Record<string, string>

test('a receiver with the library of the standard accepts a call and reads its body', () => {
  expect(new Webhook(secret).verify(body, sign([secret]))).toEqual({ type: 'dose', data: {} })
})

test('either secret of a change is accepted by whoever holds it, and no other', () => {
  const headers = sign([secret, former])

  expect(() => new Webhook(secret).verify(body, headers)).not.toThrow()
  expect(() => new Webhook(former).verify(body, headers)).not.toThrow()
  expect(() => new Webhook(webhookSecret('dGhpcmQtc2VjcmV0')).verify(body, headers)).toThrow(
    'No matching signature',
  )
})

test('a changed body, a changed identifier and an old call are refused', () => {
  const headers = sign([secret])

  expect(() => new Webhook(secret).verify(`${body} `, headers)).toThrow('No matching signature')
  expect(() => new Webhook(secret).verify(body, { ...headers, 'webhook-id': 'other' })).toThrow(
    'No matching signature',
  )
  expect(() => new Webhook(secret).verify(body, sign([secret], new Date(Date.now() - 600_000)))).toThrow(
    'too old',
  )
})

// The example of the specification (Standard Webhooks 1.0, "Signature scheme"), from memory; the library agrees.
test('the signature is the one the specification computes', () => {
  const known = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw'
  const at = new Date(1_614_265_330_000)
  const headers = signedHeaders({
    id: 'msg_p5jXN8AQM9LWM0D4loKWxJek',
    at,
    body: '{"test": 2432232314}',
    secrets: [known],
  })

  expect(headers['webhook-signature']).toBe('v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=')
})
