import {
  BrokenCircuitError,
  CircuitState,
  ConsecutiveBreaker,
  circuitBreaker,
  handleWhenResult,
} from 'cockatiel'
import type { Clock, Gateway, OutgoingText, SubmitAnswer } from '../../app/ports.ts'
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
}

/** Hands texts to the provider, and leaves it alone for a while when it is in trouble. */
export function submitter({
  config,
  secretValues,
  clock,
}: SubmitterOptions): Required<Pick<Gateway, 'submit' | 'isUp'>> {
  const { submit, breaker } = config
  const circuit = circuitBreaker(handleWhenResult(isTrouble), {
    halfOpenAfter: breaker.restMs,
    breaker: new ConsecutiveBreaker(breaker.failures),
  })

  function valuesOf({ id, to, body, validUntil }: OutgoingText): TemplateValues {
    const leftMs = validUntil === null ? null : validUntil.getTime() - clock.now().getTime()
    return {
      ...secretValues,
      id,
      to,
      toDigits: to.replace('+', ''),
      text: body,
      validUntil: validUntil?.toISOString() ?? null,
      validSeconds: leftMs === null ? null : Math.floor(leftMs / 1000),
    }
  }

  return {
    isUp: () => circuit.state !== CircuitState.Open,
    async submit(text): Promise<SubmitAnswer> {
      const tooLate = refuseIfTooLate(text, clock)
      if (tooLate !== null) return tooLate
      if (isAfterHours(text, clock)) return AFTER_HOURS
      try {
        const reply = await circuit.execute(() => askProvider(submit.request, valuesOf(text)))
        return readReply(reply, submit, text.id)
      } catch (error) {
        if (!(error instanceof BrokenCircuitError)) throw error
        return {
          kind: 'try-later',
          reason: 'the provider is left alone for a while',
          retryAfterMs: breaker.restMs,
        }
      }
    },
  }
}

/** A reply that says something of the provider's health rather than of the one text. */
function isTrouble(reply: unknown): boolean {
  // The policy hands over whatever `execute` gave, which is always a reply.
  const answer = reply as ProviderReply
  return answer.kind !== 'answered' || answer.status >= 500
}
