import { z } from 'zod'
import type { News, NewsKind } from '../core/webhooks/news.ts'
import { Refusal } from '../core/refusals.ts'
import type { Webhook as WebhookRow, WebhookCall as CallRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { statement } from './statements.ts'

export interface Webhook {
  readonly id: string
  /** Null: every district. */
  readonly districtId: string | null
  readonly name: string
  readonly url: string
  readonly kinds: readonly NewsKind[]
  readonly hasDetails: boolean
  readonly secret: string
  readonly formerSecret: string | null
  readonly formerUntil: Date | null
  readonly status: 'active' | 'paused' | 'gone'
  readonly createdAt: Date
  readonly createdBy: string
}

export interface WebhookCall extends News {
  readonly id: string
  readonly webhookId: string
  readonly status: 'waiting' | 'sending' | 'delivered' | 'dead'
  readonly tries: number
  readonly nextTryAt: Date
  readonly answer: string | null
  readonly settledAt: Date | null
}

// The tables' checks allow only these values.
const webhook = (row: WebhookRow): Webhook => row as Webhook
const call = (row: CallRow): WebhookCall => row as WebhookCall

export async function insertWebhook(db: Db, given: Webhook): Promise<void> {
  await db.webhook.create({ data: { ...given, kinds: [...given.kinds] } })
}

/** @throws {Refusal} webhook-not-found */
export async function getWebhook(db: Db, id: string): Promise<Webhook> {
  const row = await db.webhook.findUnique({ where: { id } })
  if (row === null) throw new Refusal('webhook-not-found', `There is no webhook ${id}; see GET /v1/webhooks.`)
  return webhook(row)
}

/** Those of a district, or all. */
export async function listWebhooks(db: Db, districtId: string | null): Promise<Webhook[]> {
  const rows = await db.webhook.findMany({
    ...(districtId === null ? {} : { where: { districtId } }),
    orderBy: { id: 'asc' },
  })
  return rows.map(webhook)
}

export type WebhookChange = Partial<
  Pick<
    Webhook,
    'name' | 'url' | 'kinds' | 'hasDetails' | 'status' | 'secret' | 'formerSecret' | 'formerUntil'
  >
>

export async function changeWebhook(db: Db, id: string, change: WebhookChange): Promise<Webhook> {
  const { kinds, ...rest } = change
  const data = { ...rest, ...(kinds === undefined ? {} : { kinds: [...kinds] }) }
  return webhook(await db.webhook.update({ where: { id }, data }))
}

/** Who wants to hear of a district's news; a training district's is heard only by webhooks of its own. */
export async function webhooksFor(
  db: Db,
  { id, isTraining }: { readonly id: string; readonly isTraining: boolean },
): Promise<Pick<Webhook, 'id' | 'kinds'>[]> {
  const rows = await db.webhook.findMany({
    where: { status: 'active', OR: [{ districtId: id }, ...(isTraining ? [] : [{ districtId: null }])] },
    select: { id: true, kinds: true },
  })
  return rows as Pick<Webhook, 'id' | 'kinds'>[]
}

export interface NewCall extends News {
  readonly id: string
  readonly webhookId: string
}

export async function insertCalls(db: Db, calls: readonly NewCall[]): Promise<void> {
  await db.webhookCall.createMany({ data: calls.map((each) => ({ ...each, nextTryAt: each.happenedAt })) })
}

/** Calls that are due, and those whose caller died, longest due first. */
export async function listDueCalls(db: Db, now: Date, limit: number): Promise<string[]> {
  const rows = await db.webhookCall.findMany({
    where: {
      OR: [
        { status: 'waiting', nextTryAt: { lte: now } },
        { status: 'sending', leaseUntil: { lte: now } },
      ],
    },
    select: { id: true },
    orderBy: { nextTryAt: 'asc' },
    take: limit,
  })
  return rows.map(({ id }) => id)
}

const claim = statement('claim-webhook-call', z.object({ id: z.string() }))

/** Takes a due call for making; `undefined` when another worker has it or it is not due. */
export async function claimCall(
  db: Db,
  id: string,
  { now, leaseUntil }: { readonly now: Date; readonly leaseUntil: Date },
): Promise<WebhookCall | undefined> {
  const [claimed] = await claim(db, id, now, leaseUntil)
  return claimed === undefined ? undefined : call(await db.webhookCall.findUniqueOrThrow({ where: { id } }))
}

export async function settleCall(
  db: Db,
  id: string,
  end: { readonly status: 'delivered' | 'dead'; readonly answer: string; readonly at: Date },
): Promise<void> {
  const { status, answer, at } = end
  await db.webhookCall.update({ where: { id }, data: { status, answer, settledAt: at, leaseUntil: null } })
}

export async function postponeCall(db: Db, id: string, nextTryAt: Date, answer: string): Promise<void> {
  await db.webhookCall.update({
    where: { id },
    data: { status: 'waiting', nextTryAt, answer, leaseUntil: null },
  })
}

export interface CallPage {
  readonly webhookId: string
  readonly status: WebhookCall['status'] | null
  readonly afterId: string | null
  readonly limit: number
}

/** Calls of a webhook in order of identifier, which is order of time. */
export async function pageOfCalls(db: Db, page: CallPage): Promise<WebhookCall[]> {
  const rows = await db.webhookCall.findMany({
    where: {
      webhookId: page.webhookId,
      ...(page.status === null ? {} : { status: page.status }),
      ...(page.afterId === null ? {} : { id: { gt: page.afterId } }),
    },
    orderBy: { id: 'asc' },
    take: page.limit,
  })
  return rows.map(call)
}

/** Which calls are made again: some by name, or all since an instant; of dead ones, or of delivered ones too. */
export interface Replay {
  readonly webhookId: string
  readonly ids: readonly string[] | null
  readonly since: Date | null
  readonly isDeadOnly: boolean
}

/** Makes ended calls due again; answers how many. */
export async function replayCalls(db: Db, replay: Replay, now: Date): Promise<number> {
  const { webhookId, ids, since, isDeadOnly } = replay
  const { count } = await db.webhookCall.updateMany({
    where: {
      webhookId,
      status: isDeadOnly ? 'dead' : { in: ['dead', 'delivered'] },
      ...(ids === null ? {} : { id: { in: [...ids] } }),
      ...(since === null ? {} : { happenedAt: { gte: since } }),
    },
    data: { status: 'waiting', tries: 0, nextTryAt: now, settledAt: null },
  })
  return count
}
