import { createHmac } from 'node:crypto'

/** Before the key of a secret, so that it is known for what it is. */
const PREFIX = 'whsec_'

/** A secret as it is handed out: 32 random octets in Base64 behind a prefix. @param random in Base64url */
export function webhookSecret(random: string): string {
  return PREFIX + Buffer.from(random, 'base64url').toString('base64')
}

export interface CallToSign {
  readonly id: string
  readonly at: Date
  readonly body: string
  /** The secret in force first. */
  readonly secrets: readonly string[]
}

/**
 * The headers by which a receiver knows that a call is ours, is fresh and is not another one again (Standard Webhooks
 * 1.0): HMAC-SHA-256 (RFC 2104) over identifier, time and body, once for each secret.
 */
export function signedHeaders({ id, at, body, secrets }: CallToSign): Readonly<Record<string, string>> {
  const timestamp = String(Math.floor(at.getTime() / 1000))
  const signatures = secrets.map((secret) => {
    const key = Buffer.from(secret.slice(PREFIX.length), 'base64')
    return `v1,${createHmac('sha256', key).update(`${id}.${timestamp}.${body}`).digest('base64')}`
  })
  return {
    'content-type': 'application/json',
    'webhook-id': id,
    'webhook-timestamp': timestamp,
    'webhook-signature': signatures.join(' '),
  }
}
