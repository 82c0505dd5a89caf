import { followText } from '../store/reminders.ts'
import { handOverTextOut, postponeTextOut, settleTextOut } from '../store/texts.ts'
import type { NewTextOut, TextEnd } from '../store/texts.ts'
import type { Transaction } from '../store/database.ts'
import type { Deps } from './deps.ts'
import { matchKnownReceipts } from './record-receipt.ts'
import type { Gateway, SubmitAnswer } from './ports.ts'

/** How long a worker may take for one text before another may look after it. */
export const LEASE_MS = 120_000

/** Pause before a text that could not be handed over is tried again. */
const RETRY_MS = 60_000

/**
 * Hands one text to the gateway and stores what became of it. The text is stored as being sent before this is
 * called, so that a crash at any point leaves a row that says so.
 */
export async function submitText(deps: Deps, gateway: Gateway, text: NewTextOut): Promise<void> {
  const { id, number, body, usefulUntil, isUrgent } = text
  const answer = await gateway.submit({ id, to: number, body, validUntil: usefulUntil, urgent: isUrgent })
  await deps.database.transaction((tx) => settleSubmission(tx, deps, { text, gateway: gateway.name, answer }))
}

interface Submission {
  readonly text: Pick<NewTextOut, 'id' | 'purpose'>
  readonly gateway: string
  readonly answer: SubmitAnswer
}

async function settleSubmission(
  tx: Transaction,
  deps: Deps,
  { text, gateway, answer }: Submission,
): Promise<void> {
  const at = deps.clock.now()
  switch (answer.kind) {
    case 'accepted': {
      await handOverTextOut(tx, text.id, { gateway, providerIds: answer.providerIds, at })
      await followText(tx, text.id, { status: 'handed' }, at)
      await matchKnownReceipts(tx, deps, gateway, answer.providerIds)
      return
    }
    case 'try-later':
      return tryLater(tx, deps, text, answer)
    case 'rejected':
      return end(tx, text, { status: 'failed', reason: `${answer.fault}: ${answer.reason}`, at })
    case 'unclear':
      return end(tx, text, { status: 'unknown', reason: answer.reason, at })
  }
}

/** Nothing left: a reminder goes back among the planned ones and is asked again whether it makes sense. */
async function tryLater(
  tx: Transaction,
  deps: Deps,
  text: Submission['text'],
  answer: Extract<SubmitAnswer, { kind: 'try-later' }>,
): Promise<void> {
  const at = deps.clock.now()
  const sendAt = new Date(at.getTime() + (answer.retryAfterMs ?? RETRY_MS))
  if (text.purpose !== 'reminder') return postponeTextOut(tx, text.id, sendAt, answer.reason)
  await settleTextOut(tx, text.id, { status: 'failed', reason: answer.reason, at })
  await followText(tx, text.id, { status: 'planned', sendAt, textOutId: null }, at)
}

async function end(
  tx: Transaction,
  text: Submission['text'],
  settlement: { readonly status: TextEnd; readonly reason: string; readonly at: Date },
): Promise<void> {
  const { status, reason, at } = settlement
  await settleTextOut(tx, text.id, settlement)
  await followText(tx, text.id, { status: status === 'unknown' ? 'unknown' : 'undelivered', reason }, at)
}
