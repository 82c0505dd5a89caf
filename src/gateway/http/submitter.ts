import {
  BrokenCircuitError,
  CircuitState,
  ConsecutiveBreaker,
  circuitBreaker,
  handleWhenResult,
} from 'cockatiel'
import type { Clock, Gateway, OutgoingText, SubmitAnswer } from '../../app/ports.ts'
import { Pace } from '../pacing/pace.ts'
import { steadyRate } from '../pacing/token-bucket.ts'
import { AFTER_HOURS, isAfterHours, refuseIfTooLate } from '../too-late.ts'
import type { HttpGatewayConfig } from './http-config.ts'
import { readReply } from './provider-answer.ts'
import { askProvider, type ProviderReply } from './provider-request.ts'
import type { TemplateValues } from './template.ts'

/** What submitting needs. */
export interface SubmitterOptions {
  readonly config: HttpGatewayConfig
  readonly secretValues: TemplateValues
  readonly clock: Clock
  readonly random: () => number
  readonly elapsedMs: () => number
}

/** The way out to a provider. */
export interface Submitter extends Required<Pick<Gateway, 'submit' | 'isUp'>> {
  /** Gives back the texts that still wait for their turn. */
  readonly stop: () => void
}

/** Pause when the provider says "too fast"; it doubles, with jitter, up to the longest. */
const PAUSE = { firstMs: 500, longestMs: 30_000 }

/** Too Many Requests (RFC 6585 §4). */
const TOO_FAST = 429

/** Hands texts to the provider at the pace it can bear, and leaves it alone for a while when it is in trouble. */
export function submitter({ config, secretValues, clock, random, elapsedMs }: SubmitterOptions): Submitter {
  const { submit, breaker } = config
  const { window, textsPerSecond, patienceMs } = submit
  const pace = new Pace({
    window,
    rate: textsPerSecond === null ? null : steadyRate(textsPerSecond),
    pause: PAUSE,
    random,
    elapsedMs,
  })
  const circuit = circuitBreaker(handleWhenResult(isTrouble), {
    halfOpenAfter: breaker.restMs,
    breaker: new ConsecutiveBreaker(breaker.failures),
  })

  /** What the provider makes of a text whose turn it is, and what its answer says of the pace. */
  async function askNow(
    text: OutgoingText,
  ): Promise<{ answer: SubmitAnswer; pace: Parameters<Pace['end']>[0] }> {
    const tooLate = refuseIfTooLate(text, clock)
    if (tooLate !== null) return { answer: tooLate, pace: 'neither' }
    if (isAfterHours(text, clock)) return { answer: AFTER_HOURS, pace: 'neither' }
    try {
      const reply = await circuit.execute(() =>
        askProvider(submit.request, { ...secretValues, ...valuesOf(text, clock) }),
      )
      const answer = readReply(reply, submit, text.id)
      const isTooFast = reply.kind === 'answered' && reply.status === TOO_FAST
      return { answer, pace: isTooFast ? 'too-fast' : answer.kind === 'accepted' ? 'taken' : 'neither' }
    } catch (error) {
      if (!(error instanceof BrokenCircuitError)) throw error
      const reason = 'the provider is left alone for a while'
      return { answer: { kind: 'try-later', reason, retryAfterMs: breaker.restMs }, pace: 'neither' }
    }
  }

  return {
    isUp: () => circuit.state !== CircuitState.Open,
    async submit(text) {
      const isMyTurn = await pace.turn(pace.ticket(text.urgent), patienceMs)
      if (!isMyTurn) return { kind: 'try-later', reason: 'no turn in time', retryAfterMs: null }
      let heard: Parameters<Pace['end']>[0] = 'neither'
      try {
        const asked = await askNow(text)
        heard = asked.pace
        return asked.answer
      } finally {
        pace.end(heard)
      }
    },
    stop: () => {
      pace.close()
    },
  }
}

/** What the provider's description may put into a request; see docs/gateways.md. */
function valuesOf({ id, to, body, validUntil }: OutgoingText, clock: Clock): TemplateValues {
  const leftMs = validUntil === null ? null : validUntil.getTime() - clock.now().getTime()
  return {
    id,
    to,
    toDigits: to.replace('+', ''),
    text: body,
    validUntil: validUntil?.toISOString() ?? null,
    validSeconds: leftMs === null ? null : Math.floor(leftMs / 1000),
  }
}

/** A reply that says something of the provider's health rather than of the one text. */
function isTrouble(reply: unknown): boolean {
  // The policy hands over whatever `execute` gave, which is always a reply.
  const answer = reply as ProviderReply
  return answer.kind !== 'answered' || answer.status >= 500
}
