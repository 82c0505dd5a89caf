import { makeCardNumber } from '../card-number.ts'

const BODIES = 10_000_000
/** Shares no divisor with ten, so that every count leads to another body. */
const STRIDE = 7_368_787
const START = 1_234_567

/**
 * The card number for the n-th card made here. Counts that follow each other look nothing alike, so that a slip of
 * the pen does not lead to the neighbour's child; ten million different counts give ten million different cards.
 */
export function cardNumberOf(serial: number): string {
  const body = (serial * STRIDE + START) % BODIES
  return makeCardNumber(String(body).padStart(7, '0'))
}
