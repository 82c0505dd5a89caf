import { createHmac, timingSafeEqual } from 'node:crypto'
import type { CallbackRequest, Clock } from '../../app/ports.ts'
import { Refusal } from '../../core/refusals.ts'
import { secretNamed, type Secrets } from '../secrets.ts'
import type { Proof } from './http-config.ts'
import { readTime } from './written-time.ts'

type HmacProof = Extract<Proof, { kind: 'hmac' }>

/** Knows which requests are the provider's own, and which of them were already dealt with. */
export interface ProofReader {
  /**
   * Runs `work` for a proven request. A signed request that was dealt with once is refused when it comes again;
   * one whose work failed may come again.
   * @throws {Refusal} signature-invalid
   */
  readonly whenProven: <T>(request: CallbackRequest, work: () => Promise<T>) => Promise<T>
}

/** What a reader of proofs needs. */
export interface ProofOptions {
  readonly proof: Proof
  readonly secrets: Secrets
  readonly clock: Clock
}

/** Builds a reader that remembers, in memory, the signatures it has seen within their time window. */
export function proofReader({ proof, secrets, clock }: ProofOptions): ProofReader {
  const keys = proof.kind === 'none' ? [] : proof.secrets.map((name) => secretNamed(secrets, name))
  /** Signature → the time (ms) after which its timestamp is too old anyway. */
  const seen = new Map<string, number>()

  function refuseStale(
    request: CallbackRequest,
    { timestampHeader, timestampIs, windowSeconds }: HmacProof,
  ): void {
    if (timestampHeader === undefined) return
    const signedAt = readTime(request.headers[timestampHeader] ?? '', timestampIs)
    const awayMs = signedAt === null ? Infinity : Math.abs(clock.now().getTime() - signedAt.getTime())
    if (awayMs > windowSeconds * 1000) {
      throw new Refusal('signature-invalid', 'The timestamp is missing or too far from the time here.')
    }
  }

  function remember(signature: string, windowSeconds: number): void {
    const now = clock.now().getTime()
    for (const [old, until] of seen) if (until < now) seen.delete(old)
    if (seen.has(signature)) throw new Refusal('signature-invalid', 'This request was already dealt with.')
    seen.set(signature, now + 2 * windowSeconds * 1000)
  }

  async function whenSigned<T>(
    request: CallbackRequest,
    rules: HmacProof,
    work: () => Promise<T>,
  ): Promise<T> {
    refuseStale(request, rules)
    const given = request.headers[rules.header] ?? ''
    const signature = given.startsWith(rules.prefix) ? given.slice(rules.prefix.length) : ''
    if (!keys.some((key) => isSame(signature, sign(request, rules, key)))) {
      throw new Refusal('signature-invalid', `The header ${rules.header} does not fit what was sent.`)
    }
    remember(signature, rules.windowSeconds)
    try {
      return await work()
    } catch (error) {
      seen.delete(signature)
      throw error
    }
  }

  return {
    async whenProven(request, work) {
      if (proof.kind === 'hmac') return whenSigned(request, proof, work)
      const isProven =
        proof.kind === 'none' || keys.some((token) => isSame(request.headers[proof.header] ?? '', token))
      if (!isProven) throw new Refusal('signature-invalid', 'The token is missing or not the agreed one.')
      return work()
    },
  }
}

/** The digest of the signed bytes; the body goes in as it came, undecoded. */
function sign(request: CallbackRequest, rules: HmacProof, key: string): string {
  const hmac = createHmac(rules.algorithm, key)
  for (const piece of rules.signs.split(/(\{\{\w+\}\})/)) hmac.update(signedPiece(piece, request, rules))
  return hmac.digest(rules.encoding)
}

function signedPiece(
  piece: string,
  { body, query, headers }: CallbackRequest,
  rules: HmacProof,
): Buffer | string {
  if (piece === '{{body}}') return body
  if (piece === '{{query}}') return query
  return piece === '{{timestamp}}' ? (headers[rules.timestampHeader ?? ''] ?? '') : piece
}

/** Compares in a time that says nothing of where the texts differ. */
function isSame(given: string, expected: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(expected)]
  return a.length === b.length && timingSafeEqual(a, b)
}
