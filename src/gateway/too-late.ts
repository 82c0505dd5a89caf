import type { Clock, OutgoingText, SubmitAnswer } from '../app/ports.ts'

/** Whether the sending hours of a text are over: it may still be of use, but not leave now. */
export function isAfterHours({ leaveBefore = null }: OutgoingText, clock: Clock): boolean {
  return leaveBefore !== null && clock.now() >= leaveBefore
}

/** Nothing was sent; whoever hands the text over asks again when it may leave. */
export const AFTER_HOURS = {
  kind: 'try-later',
  reason: 'the sending hours are over',
  retryAfterMs: null,
} as const satisfies SubmitAnswer

/** The answer to a text that is no longer of use, which must not be sent; `null` for any other. */
export function refuseIfTooLate({ validUntil }: OutgoingText, clock: Clock): SubmitAnswer | null {
  if (validUntil === null || clock.now() < validUntil) return null
  return { kind: 'rejected', fault: 'message', reason: 'too late to be of use' }
}
