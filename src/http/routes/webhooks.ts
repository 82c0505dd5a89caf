import { z } from 'zod'
import {
  addWebhook,
  changeSecret,
  getWebhook,
  listWebhooks,
  pageOfCalls,
  replay,
  setWebhook,
} from '../../app/webhooks/manage-webhooks.ts'
import type { Webhook, WebhookCall } from '../../app/webhooks/manage-webhooks.ts'
import type { Handle } from '../../app/deps.ts'
import type { Principal } from '../../app/tokens.ts'
import { NEWS_KINDS } from '../../core/webhooks/news.ts'
import { Refusal } from '../../core/refusals.ts'
import { route } from '../route.ts'
import { id, noBody, none, page } from '../shapes.ts'

const ROLES = ['officer', 'operator'] as const
const byId = z.object({ webhookId: id })

const kinds = z.array(z.enum(NEWS_KINDS)).min(1)
const url = z
  .url({ protocol: /^https?$/ })
  .max(500)
  .refine((text) => !text.includes('@'), 'leave out user and password; calls are signed')
const hasDetails = z
  .boolean()
  .describe(
    'True: the record itself goes with the identifiers, as a FHIR resource. Only an officer may say so.',
  )

const webhookShape = z
  .object({
    id,
    districtId: id.nullable(),
    name: z.string(),
    url: z.string(),
    kinds,
    hasDetails: z.boolean(),
    status: z.enum(['active', 'paused', 'gone']).describe('gone: the receiver answered 410.'),
    createdAt: z.iso.datetime(),
    createdBy: z.string(),
  })
  .meta({ id: 'Webhook' })

function webhookJson(webhook: Webhook): z.input<typeof webhookShape> {
  const { id: webhookId, districtId, name, url: address, hasDetails: details, status, createdBy } = webhook
  return {
    id: webhookId,
    districtId,
    name,
    url: address,
    kinds: [...webhook.kinds],
    hasDetails: details,
    status,
    createdAt: webhook.createdAt.toISOString(),
    createdBy,
  }
}

/** A webhook of every district is not there for a token of one. */
async function districtOfWebhook(
  db: Handle,
  principal: Principal,
  webhookId: string,
): Promise<string | null> {
  const { districtId } = await getWebhook(db, webhookId)
  if (districtId !== null || principal.districtId === null) return districtId
  throw new Refusal('webhook-not-found', 'There is none of this identifier here.')
}

function refuseDetails({ role }: Principal, wanted: boolean | undefined): void {
  if (wanted !== true || role === 'officer') return
  throw new Refusal('not-allowed', 'Only an officer may send records themselves; others send identifiers.')
}

const secretShape = z.object({
  webhook: webhookShape,
  secret: z.string().describe('Signs the calls; shown this once.'),
})

const add = route({
  method: 'post',
  path: '/v1/webhooks',
  tag: 'Webhooks',
  summary: 'Have another system called when something happens; see docs/exchange.md for what it gets',
  roles: ROLES,
  params: none,
  query: none,
  body: z.object({
    districtId: id.optional().describe("Left out: the token's own district, or every one."),
    name: z.string().trim().min(1).max(80),
    url,
    kinds,
    hasDetails: hasDetails.default(false),
  }),
  status: 201,
  answer: secretShape,
  contentType: 'application/json',
  district: ({ principal, body }) => body.districtId ?? principal.districtId,
  handle: async ({ db, deps, principal, body }) => {
    refuseDetails(principal, body.hasDetails)
    const districtId = body.districtId ?? principal.districtId
    const webhook = await addWebhook(db, deps, { ...body, districtId, by: principal.name })
    return { webhook: webhookJson(webhook), secret: webhook.secret }
  },
})

const list = route({
  method: 'get',
  path: '/v1/webhooks',
  tag: 'Webhooks',
  summary: 'The webhooks of the district of the token, or all',
  roles: ROLES,
  params: none,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ webhooks: z.array(webhookShape) }),
  contentType: 'application/json',
  district: ({ principal }) => principal.districtId,
  handle: async ({ db, principal }) => ({
    webhooks: (await listWebhooks(db, principal.districtId)).map(webhookJson),
  }),
})

const change = route({
  method: 'patch',
  path: '/v1/webhooks/{webhookId}',
  tag: 'Webhooks',
  summary: 'Change a webhook, pause it or take it up again',
  roles: ROLES,
  params: byId,
  query: none,
  body: z
    .object({
      name: z.string().trim().min(1).max(80),
      url,
      kinds,
      hasDetails,
      status: z.enum(['active', 'paused']),
    })
    .partial()
    .strict(),
  status: 200,
  answer: webhookShape,
  contentType: 'application/json',
  district: ({ db, principal, params }) => districtOfWebhook(db, principal, params.webhookId),
  handle: async ({ db, deps, principal, params, body }) => {
    refuseDetails(principal, body.hasDetails)
    // Keys that are not there are not changed.
    const given = JSON.parse(JSON.stringify(body)) as Parameters<typeof setWebhook>[2]['change']
    return webhookJson(
      await setWebhook(db, deps, { id: params.webhookId, by: principal.name, change: given }),
    )
  },
})

const secret = route({
  method: 'post',
  path: '/v1/webhooks/{webhookId}/secret',
  tag: 'Webhooks',
  summary: 'Give a webhook a new secret; the former one signs beside it for a day',
  roles: ROLES,
  params: byId,
  query: none,
  body: noBody,
  status: 200,
  answer: secretShape,
  contentType: 'application/json',
  district: ({ db, principal, params }) => districtOfWebhook(db, principal, params.webhookId),
  handle: async ({ db, deps, principal, params }) => {
    const webhook = await changeSecret(db, deps, { id: params.webhookId, by: principal.name })
    return { webhook: webhookJson(webhook), secret: webhook.secret }
  },
})

const callShape = z.object({
  id,
  kind: z.enum(NEWS_KINDS),
  childId: id,
  subjectId: id.nullable().describe('The dose, visit or reaction.'),
  happenedAt: z.iso.datetime(),
  status: z.enum(['waiting', 'sending', 'delivered', 'dead']),
  tries: z.int(),
  nextTryAt: z.iso.datetime(),
  answer: z.string().nullable().describe('What came of the last try.'),
  settledAt: z.iso.datetime().nullable(),
})

function callJson(call: WebhookCall): z.input<typeof callShape> {
  const { id: callId, kind, childId, subjectId, status, tries, answer } = call
  return {
    id: callId,
    kind,
    childId,
    subjectId,
    happenedAt: call.happenedAt.toISOString(),
    status,
    tries,
    nextTryAt: call.nextTryAt.toISOString(),
    answer,
    settledAt: call.settledAt?.toISOString() ?? null,
  }
}

const calls = route({
  method: 'get',
  path: '/v1/webhooks/{webhookId}/calls',
  tag: 'Webhooks',
  summary: 'What a webhook was told, or is to be; status=dead lists what was given up',
  roles: ROLES,
  params: byId,
  query: z.object({ ...page, status: callShape.shape.status.optional() }),
  body: noBody,
  status: 200,
  answer: z.object({ calls: z.array(callShape), next: id.nullable() }),
  contentType: 'application/json',
  district: ({ db, principal, params }) => districtOfWebhook(db, principal, params.webhookId),
  handle: async ({ db, params, query }) => {
    const { status = null, after: afterId = null, limit } = query
    const found = await pageOfCalls(db, { ...params, status, afterId, limit })
    return { calls: found.map(callJson), next: found.length < limit ? null : (found.at(-1)?.id ?? null) }
  },
})

const again = route({
  method: 'post',
  path: '/v1/webhooks/{webhookId}/replay',
  tag: 'Webhooks',
  summary: 'Make calls again that ended, each under its own identifier: the dead ones, or delivered ones too',
  roles: ROLES,
  params: byId,
  query: none,
  body: z.object({
    callIds: z.array(id).min(1).max(1000).optional().describe('Left out: all.'),
    since: z.iso
      .datetime({ offset: true })
      .transform((text) => new Date(text))
      .optional()
      .describe('Only what happened since then.'),
    deadOnly: z.boolean().default(true).describe('False: those that were delivered too.'),
  }),
  status: 200,
  answer: z.object({ replayed: z.int() }),
  contentType: 'application/json',
  district: ({ db, principal, params }) => districtOfWebhook(db, principal, params.webhookId),
  handle: async ({ db, deps, principal, params, body }) => ({
    replayed: await replay(db, deps, {
      ...params,
      ids: body.callIds ?? null,
      since: body.since ?? null,
      isDeadOnly: body.deadOnly,
      by: principal.name,
    }),
  }),
})

export const WEBHOOK_ROUTES = [add, list, change, secret, calls, again]
