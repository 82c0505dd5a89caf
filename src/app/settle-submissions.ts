import type { Transaction } from '../store/database.ts'
import { followText } from '../store/reminders.ts'
import { giveBackReminders, handOverTexts } from '../store/texts-under-way.ts'
import type { GivenBack, HandedText } from '../store/texts-under-way.ts'
import { doubtTextOut, postponeTextOut, settleTextOut } from '../store/texts.ts'
import type { TextEnd, TextPurpose } from '../store/texts.ts'
import type { Deps } from './deps.ts'
import type { Lane, SubmitAnswer } from './ports.ts'
import { matchKnownReceipts } from './record-receipt.ts'

/** Pause before a text that could not be handed over is tried again. */
const RETRY_MS = 60_000

/**
 * So often a text may be in doubt (its worker died, the link fell, no answer came) and be sent again, where the
 * gateway does not know our ids: a reminder that comes twice does less harm than one that never comes.
 */
export const MOST_DOUBTS = 3

/** A text that was submitted. */
export interface SubmittedText {
  readonly id: string
  readonly districtId: string | null
  readonly number: string
  readonly body: string
  readonly purpose: TextPurpose
  readonly isUrgent: boolean
  readonly usefulUntil: Date | null
  /** When the sending hours it has to keep are over; null: it may leave at any hour. */
  readonly leaveBefore: Date | null
  readonly doubts: number
}

export interface Submission {
  readonly text: SubmittedText
  readonly answer: SubmitAnswer
}

/** Stores what became of submitted texts. */
export async function settleSubmissions(
  tx: Transaction,
  deps: Deps,
  {
    gateway,
    lane,
    answers,
  }: { readonly gateway: string; readonly lane: Lane; readonly answers: readonly Submission[] },
): Promise<void> {
  const at = deps.clock.now()
  const handed: HandedText[] = []
  const givenBack: GivenBack[] = []
  for (const { text, answer } of answers) {
    switch (answer.kind) {
      case 'accepted':
        handed.push({ id: text.id, providerIds: answer.providerIds })
        break
      case 'try-later': {
        const sendAt = new Date(at.getTime() + (answer.retryAfterMs ?? RETRY_MS))
        if (text.purpose === 'reminder') givenBack.push({ textId: text.id, sendAt, reason: answer.reason })
        else await postponeTextOut(tx, text.id, sendAt, answer.reason)
        break
      }
      case 'rejected':
        await end(tx, text.id, { status: 'failed', reason: `${answer.fault}: ${answer.reason}`, at })
        break
      case 'unclear':
        if (lane.isIdempotent || text.doubts < MOST_DOUBTS)
          await doubtTextOut(tx, text.id, new Date(at.getTime() + RETRY_MS), answer.reason)
        else await end(tx, text.id, { status: 'unknown', reason: answer.reason, at })
    }
  }
  if (handed.length > 0) {
    await handOverTexts(tx, handed, { gateway, at })
    await matchKnownReceipts(
      tx,
      deps,
      gateway,
      handed.flatMap(({ providerIds }) => providerIds),
    )
  }
  // Nothing left: these reminders are asked again whether they make sense.
  if (givenBack.length > 0) await giveBackReminders(tx, givenBack, at)
}

async function end(
  tx: Transaction,
  textId: string,
  settlement: { readonly status: TextEnd; readonly reason: string; readonly at: Date },
): Promise<void> {
  const { status, reason, at } = settlement
  await settleTextOut(tx, textId, settlement)
  await followText(tx, textId, { status: status === 'unknown' ? 'unknown' : 'undelivered', reason }, at)
}
