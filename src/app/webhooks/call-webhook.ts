import { newsBody } from '../../core/webhooks/news.ts'
import { waitAfter } from '../../core/webhooks/next-try.ts'
import { getChild } from '../../store/children.ts'
import { changeWebhook, claimCall, getWebhook, postponeCall, settleCall } from '../../store/webhooks.ts'
import type { Webhook, WebhookCall } from '../../store/webhooks.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import type { WebhookAnswer, WebhookPoster } from '../ports.ts'
import { resourceOfNews } from './resource-of-news.ts'
import { signedHeaders } from './sign-call.ts'

/** Longer than a try takes, so that two callers never make one call at once. */
const LEASE_MS = 60_000

/** How calls leave, and chance. */
export interface Calling {
  readonly poster: WebhookPoster
  /** Uniform in [0, 1). */
  readonly random: () => number
}

/** Makes one call that is due, unless another worker has it, and decides what comes of it. */
export async function callWebhook(deps: Deps, calling: Calling, callId: string): Promise<void> {
  const { db } = deps.database
  const now = deps.clock.now()
  const call = await claimCall(db, callId, { now, leaseUntil: new Date(now.getTime() + LEASE_MS) })
  if (call === undefined) return
  const webhook = await getWebhook(db, call.webhookId)
  if (webhook.status !== 'active') {
    await settleCall(db, call.id, { status: 'dead', answer: `the webhook is ${webhook.status}`, at: now })
    return
  }
  if ((await getChild(db, call.childId)).isSharingBarred) {
    await settleCall(db, call.id, { status: 'dead', answer: 'the family bars sharing', at: now })
    return
  }
  const body = newsBody(call, webhook.hasDetails ? await resourceOfNews(db, deps, call) : null)
  const headers = signedHeaders({ id: call.id, at: now, body, secrets: secretsOf(webhook, now) })
  await decide(deps, calling, call, await calling.poster.post({ url: webhook.url, headers, body }))
}

/** After a change of secret both sign for a while. */
function secretsOf({ secret, formerSecret, formerUntil }: Webhook, now: Date): readonly string[] {
  return formerSecret !== null && formerUntil !== null && formerUntil > now
    ? [secret, formerSecret]
    : [secret]
}

async function decide(
  deps: Deps,
  { random }: Calling,
  call: WebhookCall,
  answer: WebhookAnswer,
): Promise<void> {
  const { db } = deps.database
  const at = deps.clock.now()
  const words = answer.kind === 'answered' ? `status ${answer.status}` : answer.reason
  if (answer.kind === 'answered' && answer.status >= 200 && answer.status < 300) {
    await settleCall(db, call.id, { status: 'delivered', answer: words, at })
    await noteTold(deps, call)
    return
  }
  const isGone = answer.kind === 'answered' && answer.status === GONE
  if (isGone) await changeWebhook(db, call.webhookId, { status: 'gone' })
  const askedMs = answer.kind === 'answered' ? answer.retryAfterMs : null
  const wait = isGone || answer.kind === 'forbidden' ? null : waitAfter(call.tries, random(), askedMs)
  if (wait === null) await settleCall(db, call.id, { status: 'dead', answer: words, at })
  else await postponeCall(db, call.id, new Date(at.getTime() + wait), words)
}

/** Keeps which system was told of which child. */
async function noteTold(deps: Deps, { webhookId, districtId, childId, kind }: WebhookCall): Promise<void> {
  const { db } = deps.database
  const { name } = await getWebhook(db, webhookId)
  await noteChange(db, deps, {
    districtId,
    actor: `webhook ${name}`,
    act: 'call-webhook',
    subject: { kind: 'child', id: childId },
    after: { news: kind },
  })
}

/** The receiver wants no more calls (RFC 9110 §15.5.11). */
const GONE = 410
