import type { Clock, OutgoingText, SubmitAnswer } from '../app/ports.ts'

/** The answer to a text that is no longer of use, which must not be sent; `null` for any other. */
export function refuseIfTooLate({ validUntil }: OutgoingText, clock: Clock): SubmitAnswer | null {
  if (validUntil === null || clock.now() < validUntil) return null
  return { kind: 'rejected', fault: 'message', reason: 'too late to be of use' }
}
