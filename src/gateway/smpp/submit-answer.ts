import type { SubmitAnswer } from '../../app/ports.ts'
import { canonicalId, type MessageIdForm } from './message-id.ts'
import type { PartAnswer } from './part-sender.ts'
import { statusText, type SubmitMeaning } from './status.ts'

/** What a "no" for good is about. */
const FAULTS: Readonly<Partial<Record<SubmitMeaning, 'number' | 'message' | 'account'>>> = {
  'rejected-number': 'number',
  'rejected-message': 'message',
  'rejected-account': 'account',
}

/** What the answer to one part means. */
export function readPartAnswer(answer: PartAnswer, idForm: MessageIdForm): SubmitAnswer {
  if (answer.kind === 'not-sent') return { kind: 'try-later', reason: answer.reason, retryAfterMs: null }
  if (answer.kind === 'unwritable') return { kind: 'rejected', fault: 'message', reason: answer.reason }
  if (answer.kind === 'unanswered') return { kind: 'unclear', reason: answer.reason }
  const { meaning, messageId, status } = answer
  if (meaning === 'accepted') {
    return { kind: 'accepted', providerIds: messageId === '' ? [] : [canonicalId(messageId, idForm)] }
  }
  const fault = FAULTS[meaning]
  const reason = `status ${statusText(status)}`
  return fault === undefined
    ? { kind: 'try-later', reason, retryAfterMs: null }
    : { kind: 'rejected', fault, reason }
}

/**
 * What the answers to the parts of one text mean for the text. A text of which one part was certainly not taken
 * cannot have arrived whole, so it may go again; otherwise one part in doubt puts the whole in doubt.
 */
export function joinAnswers(answers: readonly SubmitAnswer[]): SubmitAnswer {
  const worst =
    answers.find((answer) => answer.kind === 'rejected') ??
    answers.find((answer) => answer.kind === 'try-later') ??
    answers.find((answer) => answer.kind === 'unclear')
  if (worst !== undefined) return worst
  return {
    kind: 'accepted',
    providerIds: answers.flatMap((answer) => (answer.kind === 'accepted' ? answer.providerIds : [])),
  }
}
