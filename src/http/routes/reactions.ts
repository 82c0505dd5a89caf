import { z } from 'zod'
import { getReaction, completeReport, lineListCsv } from '../../app/reactions/line-list.ts'
import { markAlert } from '../../app/reactions/alerts.ts'
import { prepareRecall, sendRecall, getRecall } from '../../app/reactions/recall.ts'
import type { RecallPlan } from '../../app/reactions/recall.ts'
import { reportReaction } from '../../app/reactions/report-reaction.ts'
import { traceLot } from '../../app/reactions/trace-lot.ts'
import { postOfChild } from '../../app/post-in.ts'
import { districtOfAlert, districtOfChild, listAlertsOf, viewChild } from '../../app/views.ts'
import { formatDay } from '../../core/days/day.ts'
import type { AlertOnRecord, Reaction } from '../../core/reactions/reaction.ts'
import { exposedDoseJson, exposedDoseShape } from '../exposed-dose.ts'
import { route } from '../route.ts'
import { dayIn, dayOut, id, noBody, none } from '../shapes.ts'

const STAFF = ['vaccinator', 'manager', 'officer', 'machine'] as const
const LEADERS = ['manager', 'officer'] as const
const inDistrict = z.object({ districtId: id })

const reactionShape = z
  .object({
    id,
    childId: id,
    reactionOn: dayOut,
    reportedAt: z.iso.datetime(),
    words: z.string(),
    signs: z.array(z.string()).readonly(),
    outcomes: z.array(z.string()).readonly(),
    isSerious: z.boolean(),
    route: z.enum(['at-once', 'today', 'line-list']).describe('Who sees it, and when.'),
    doseIds: z
      .array(id)
      .readonly()
      .describe('Of the latest vaccination before it; none is said to be its cause.'),
    facts: z.record(z.string(), z.string()).describe('Core variables that were added.'),
  })
  .meta({ id: 'Reaction' })

function reactionJson(reaction: Reaction): z.input<typeof reactionShape> {
  const { id: reactionId, childId, reactionOn, reportedAt, words, signs, outcomes } = reaction
  const { isSerious, route: way, doseIds, facts } = reaction
  return {
    id: reactionId,
    childId,
    reactionOn: formatDay(reactionOn),
    reportedAt: reportedAt.toISOString(),
    words,
    signs,
    outcomes,
    isSerious,
    route: way,
    doseIds,
    facts: { ...facts },
  }
}

const report = route({
  method: 'post',
  path: '/v1/children/{childId}/reactions',
  tag: 'Reactions',
  summary: 'Report a reaction; a serious one reaches the district at once. Nothing is diagnosed',
  roles: STAFF,
  params: z.object({ childId: id }),
  query: none,
  body: z.object({
    words: z.string().trim().min(1).max(500),
    signs: z.array(z.string().max(40)).max(20).default([]),
    outcomes: z.array(z.string().max(40)).max(10).default([]),
    reactionOn: dayIn,
    postId: id.nullable().default(null),
  }),
  status: 201,
  answer: reactionShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    const { child, district } = await viewChild(db, params.childId)
    const { postId, ...rest } = body
    const told = {
      ...rest,
      child,
      district,
      postId: postId === null ? null : (await postOfChild(db, child.id, postId)).id,
      reportedAt: deps.clock.now(),
      by: principal.name,
      via: 'api' as const,
      textInId: null,
    }
    return reactionJson(await reportReaction(db, deps, told))
  },
})

const complete = route({
  method: 'patch',
  path: '/v1/reactions/{reactionId}',
  tag: 'Reactions',
  summary: 'Complete a report with core variables; empty text takes one out',
  roles: LEADERS,
  params: z.object({ reactionId: id }),
  query: none,
  body: z.object({ facts: z.record(z.string().max(40), z.string().max(500)) }).strict(),
  status: 200,
  answer: reactionShape,
  contentType: 'application/json',
  district: async ({ db, params }) => (await getReaction(db, params.reactionId)).districtId,
  handle: async ({ db, deps, principal, params, body }) =>
    reactionJson(await completeReport(db, deps, { ...params, ...body, by: principal.name })),
})

const lines = route({
  method: 'get',
  path: '/v1/districts/{districtId}/reactions.csv',
  tag: 'Reactions',
  summary: 'The line list with the core variables of WHO; missing critical ones are named',
  roles: LEADERS,
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.string(),
  contentType: 'text/csv',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params }) => lineListCsv(db, deps, params.districtId),
})

const alertShape = z
  .object({
    id,
    number: z.int(),
    kind: z.enum(['reaction', 'cluster', 'family-words', 'cold-chain', 'stock']),
    postId: id.nullable(),
    childId: id.nullable(),
    reactionId: id.nullable(),
    words: z.string(),
    raisedAt: z.iso.datetime(),
    stepsDone: z.array(z.string()).readonly(),
    acknowledgedAt: z.iso.datetime().nullable(),
    acknowledgedBy: z.string().nullable(),
    notifiedAt: z.iso.datetime().nullable(),
    investigatedAt: z.iso.datetime().nullable(),
    closedAt: z.iso.datetime().nullable(),
  })
  .meta({ id: 'Alert' })

function alertJson(alert: AlertOnRecord): z.input<typeof alertShape> {
  const { id: alertId, number, kind, postId, childId, reactionId, words, stepsDone, acknowledgedBy } = alert
  return {
    id: alertId,
    number,
    kind,
    postId,
    childId,
    reactionId,
    words,
    raisedAt: alert.raisedAt.toISOString(),
    stepsDone,
    acknowledgedAt: alert.acknowledgedAt?.toISOString() ?? null,
    acknowledgedBy,
    notifiedAt: alert.notifiedAt?.toISOString() ?? null,
    investigatedAt: alert.investigatedAt?.toISOString() ?? null,
    closedAt: alert.closedAt?.toISOString() ?? null,
  }
}

const alerts = route({
  method: 'get',
  path: '/v1/districts/{districtId}/alerts',
  tag: 'Alerts',
  summary: 'Open alerts, newest first',
  roles: STAFF,
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ alerts: z.array(alertShape) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => ({ alerts: (await listAlertsOf(db, params.districtId)).map(alertJson) }),
})

const mark = route({
  method: 'post',
  path: '/v1/alerts/{alertId}/mark',
  tag: 'Alerts',
  summary: 'Note what was done about an alert; taking it on stops the climbing only',
  roles: LEADERS,
  params: z.object({ alertId: id }),
  query: none,
  body: z.object({ deed: z.enum(['acknowledged', 'notified', 'investigated', 'closed']) }),
  status: 200,
  answer: alertShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfAlert(db, params.alertId),
  handle: async ({ db, deps, principal, params, body }) => {
    const districtId = await districtOfAlert(db, params.alertId)
    return alertJson(await markAlert(db, deps, { ...params, ...body, districtId, by: principal.name }))
  },
})

const trace = route({
  method: 'get',
  path: '/v1/districts/{districtId}/lots/{lot}',
  tag: 'Lots',
  summary: 'Who received a lot; the asking is noted',
  roles: LEADERS,
  params: inDistrict.extend({ lot: z.string().min(1).max(40) }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    lot: z.string(),
    vials: z.array(z.int()).describe('Numbers of its vials.'),
    doses: z.array(exposedDoseShape),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params }) => {
    const { lot, vials, doses } = await traceLot(db, deps, { ...params, by: principal.name })
    return {
      lot,
      vials: vials.map(({ number }) => number),
      doses: doses.map(exposedDoseJson),
    }
  },
})

const recallShape = z
  .object({
    id,
    lot: z.string(),
    vaccine: z.string().nullable(),
    reason: z.string(),
    confirmedAt: z.iso.datetime().nullable(),
    texts: z.array(z.object({ number: z.string(), body: z.string() })).readonly(),
    toVisit: z.array(id).describe('Children whose family no text may reach.'),
  })
  .meta({ id: 'Recall' })

function recallJson({ recall, texts, toVisit }: RecallPlan): z.input<typeof recallShape> {
  const { id: recallId, lot, vaccine, reason, confirmedAt } = recall
  return {
    id: recallId,
    lot,
    vaccine,
    reason,
    confirmedAt: confirmedAt?.toISOString() ?? null,
    texts,
    toVisit: toVisit.map((child) => child.id),
  }
}

const prepare = route({
  method: 'post',
  path: '/v1/districts/{districtId}/recalls',
  tag: 'Lots',
  summary: 'Prepare the recall of a lot; nothing is sent before it is confirmed',
  roles: LEADERS,
  params: inDistrict,
  query: none,
  body: z.object({
    lot: z.string().trim().min(1).max(40),
    vaccine: z.string().max(20).nullable().default(null),
    reason: z.string().trim().min(1).max(200),
  }),
  status: 201,
  answer: recallShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) =>
    recallJson(await prepareRecall(db, deps, { ...params, ...body, by: principal.name })),
})

const confirm = route({
  method: 'post',
  path: '/v1/recalls/{recallId}/confirmation',
  tag: 'Lots',
  summary: 'Confirm a recall: its texts are sent',
  roles: LEADERS,
  params: z.object({ recallId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: recallShape,
  contentType: 'application/json',
  district: async ({ db, params }) => (await getRecall(db, params.recallId)).districtId,
  handle: async ({ db, deps, principal, params }) =>
    recallJson(await sendRecall(db, deps, { id: params.recallId, by: principal.name })),
})

export const REACTION_ROUTES = [report, complete, lines, alerts, mark, trace, prepare, confirm]
