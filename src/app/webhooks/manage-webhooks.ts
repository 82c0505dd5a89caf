import type { NewsKind } from '../../core/webhooks/news.ts'
import type { Transaction } from '../../store/database.ts'
import { changeWebhook, getWebhook, insertWebhook, replayCalls } from '../../store/webhooks.ts'
import type { Replay, Webhook, WebhookChange } from '../../store/webhooks.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { webhookSecret } from './sign-call.ts'

export { getWebhook, listWebhooks, pageOfCalls } from '../../store/webhooks.ts'
export type { Webhook, WebhookCall } from '../../store/webhooks.ts'

export interface WebhookWish {
  readonly districtId: string | null
  readonly name: string
  readonly url: string
  readonly kinds: readonly NewsKind[]
  readonly hasDetails: boolean
  readonly by: string
}

/** Puts a webhook up; its secret is handed out here and at a change of secret, and never again. */
export async function addWebhook(tx: Transaction, deps: Deps, wish: WebhookWish): Promise<Webhook> {
  const { by, ...rest } = wish
  const webhook: Webhook = {
    ...rest,
    id: deps.newId(),
    secret: webhookSecret(deps.newSecret()),
    formerSecret: null,
    formerUntil: null,
    status: 'active',
    createdAt: deps.clock.now(),
    createdBy: by,
  }
  await insertWebhook(tx, webhook)
  await note(tx, deps, { webhook, by, act: 'add-webhook' })
  return webhook
}

/** Changes a webhook, or pauses it and takes it up again. @throws {Refusal} webhook-not-found */
export async function setWebhook(
  tx: Transaction,
  deps: Deps,
  { id, by, change }: { readonly id: string; readonly by: string; readonly change: WebhookChange },
): Promise<Webhook> {
  const webhook = await changeWebhook(tx, (await getWebhook(tx, id)).id, change)
  await note(tx, deps, { webhook, by, act: 'change-webhook' })
  return webhook
}

/** The former secret signs beside the new one for so long. */
const BOTH_SIGN_MS = 24 * 3_600_000

/** Gives a webhook a new secret. @throws {Refusal} webhook-not-found */
export async function changeSecret(
  tx: Transaction,
  deps: Deps,
  { id, by }: { readonly id: string; readonly by: string },
): Promise<Webhook> {
  const { secret: formerSecret } = await getWebhook(tx, id)
  const formerUntil = new Date(deps.clock.now().getTime() + BOTH_SIGN_MS)
  const secret = webhookSecret(deps.newSecret())
  const webhook = await changeWebhook(tx, id, { secret, formerSecret, formerUntil })
  await note(tx, deps, { webhook, by, act: 'change-webhook-secret' })
  return webhook
}

/** Makes calls that ended again, under their own identifiers. @throws {Refusal} webhook-not-found */
export async function replay(
  tx: Transaction,
  deps: Deps,
  wish: Replay & { readonly by: string },
): Promise<number> {
  const { by, ...which } = wish
  const webhook = await getWebhook(tx, which.webhookId)
  const count = await replayCalls(tx, which, deps.clock.now())
  await note(tx, deps, { webhook, by, act: 'replay-webhook' })
  return count
}

async function note(
  tx: Transaction,
  deps: Deps,
  { webhook, by, act }: { readonly webhook: Webhook; readonly by: string; readonly act: string },
): Promise<void> {
  const { id, districtId, url, hasDetails, status } = webhook
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act,
    subject: { kind: 'webhook', id },
    after: { host: new URL(url).host, hasDetails, status },
  })
}
