import { createHash } from 'node:crypto'
import { Refusal } from '../core/refusals.ts'
import type { Transaction } from '../store/database.ts'
import { hold } from '../store/hold.ts'
import { findKeptAnswer, insertKeptAnswer } from '../store/tokens.ts'
import type { KeptAnswer } from '../store/tokens.ts'
import type { Deps } from './deps.ts'

export interface KeyedRequest {
  readonly tokenId: string
  /** The caller's Idempotency-Key. */
  readonly key: string
  /** Method, path and body: what makes two requests the same. */
  readonly request: string
  readonly status: number
}

/**
 * Does a write once for each key of a token, in the transaction of the write: the same request again is answered as
 * before and changes nothing.
 * @throws {Refusal} idempotency-key-reused
 */
export async function answerOnce(
  tx: Transaction,
  deps: Deps,
  keyed: KeyedRequest,
  answer: () => Promise<KeptAnswer['body']>,
): Promise<Pick<KeptAnswer, 'status' | 'body'>> {
  const { tokenId, key, status } = keyed
  await hold(tx, [`idempotency ${tokenId} ${key}`])
  const requestDigest = createHash('sha256').update(keyed.request).digest('hex')
  const kept = await findKeptAnswer(tx, tokenId, key)
  if (kept !== undefined && kept.requestDigest !== requestDigest) {
    throw new Refusal('idempotency-key-reused', 'Use a new Idempotency-Key for each new request.')
  }
  if (kept !== undefined) return kept
  const body = await answer()
  await insertKeptAnswer(tx, { tokenId, key, requestDigest, status, body, createdAt: deps.clock.now() })
  return { status, body }
}
