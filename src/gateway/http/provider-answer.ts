import type { SubmitAnswer } from '../../app/ports.ts'
import { textsAt } from './field-path.ts'
import type { AnswerRule, HttpGatewayConfig } from './http-config.ts'
import type { ProviderReply } from './provider-request.ts'

type Meaning = AnswerRule['means']
type Answered = Extract<ProviderReply, { kind: 'answered' }>

/** What a provider's reply to a submit means; `ownId` stands in where the provider gives no ids. */
export function readReply(
  reply: ProviderReply,
  config: Pick<HttpGatewayConfig['submit'], 'answers' | 'providerIds' | 'reason'>,
  ownId: string,
): SubmitAnswer {
  if (reply.kind === 'not-sent') return { kind: 'try-later', reason: reply.reason, retryAfterMs: null }
  if (reply.kind === 'no-answer') return { kind: 'unclear', reason: reply.reason }
  const meaning = config.answers.find((rule) => fits(rule, reply))?.means ?? meaningOfStatus(reply.status)
  const [reason = `status ${reply.status}`] =
    config.reason === undefined ? [] : textsAt(reply.fields, config.reason)
  if (meaning === 'accepted') return accepted(reply, config.providerIds, ownId)
  if (meaning === 'try-later') return { kind: 'try-later', reason, retryAfterMs: reply.retryAfterMs }
  if (meaning === 'unclear') return { kind: 'unclear', reason }
  return { kind: 'rejected', fault: FAULTS[meaning], reason }
}

const FAULTS = {
  'rejected-number': 'number',
  'rejected-message': 'message',
  'rejected-account': 'account',
} as const satisfies Partial<Record<Meaning, string>>

/** An answer without the ids it should hold (a login page, say) is not taken for a yes. */
function accepted(reply: Answered, path: string | undefined, ownId: string): SubmitAnswer {
  const providerIds = path === undefined ? [ownId] : textsAt(reply.fields, path)
  return providerIds.length > 0
    ? { kind: 'accepted', providerIds }
    : { kind: 'unclear', reason: 'no provider id' }
}

function fits(rule: AnswerRule, { status, fields }: Answered): boolean {
  if (rule.status !== undefined && !rule.status.includes(status)) return false
  if (rule.field === undefined) return true
  const found = textsAt(fields, rule.field)
  return found.some((text) => rule.is === undefined || rule.is.includes(text))
}

/** Statuses whose request was certainly not acted on and may be made again (RFC 9110 §15, RFC 6585 §4). */
const NOT_ACTED_ON = new Set([408, 421, 425, 429, 503])
/** Client errors that say something of the one text; the others say that the account or the set-up is wrong. */
const OF_THE_MESSAGE = new Set([400, 413, 422])

function meaningOfStatus(status: number): Meaning {
  if (status >= 200 && status < 300) return 'accepted'
  if (NOT_ACTED_ON.has(status)) return 'try-later'
  if (status >= 500 || status === 409) return 'unclear'
  return OF_THE_MESSAGE.has(status) ? 'rejected-message' : 'rejected-account'
}
