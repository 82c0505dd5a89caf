import { z } from 'zod'
import { checkAgain, flagChildren, flagDoses } from '../../app/doubles/flag-double.ts'
import { CHOSEN_FACTS } from '../../app/doubles/merge-children.ts'
import { getDouble, keepOneDose, mergeDouble, sayTwo } from '../../app/doubles/settle-double.ts'
import { tryDoubleRules } from '../../app/doubles/try-rules.ts'
import { getMerge, undoMerge } from '../../app/doubles/undo-merge.ts'
import { viewDoubles, viewSideBySide } from '../../app/doubles/view-doubles.ts'
import { doubleRulesOf, setDoubleRules } from '../../app/matching-rules.ts'
import { districtOfChild, districtOfDose, viewChild } from '../../app/views.ts'
import { doubleRulesSchema } from '../../core/children/double-rules.ts'
import { route } from '../route.ts'
import { childJson, childShape, id, noBody, none } from '../shapes.ts'
import {
  doubleJson,
  doubleShape,
  mergeJson,
  mergeShape,
  sideBySideJson,
  settledShape,
  sideBySideShape,
  trialShape,
} from './double-shapes.ts'

const districtId = z.object({ districtId: id })
const itemId = z.object({ itemId: id })
const comment = z.string().trim().max(500).nullable().default(null)
const STAFF = ['vaccinator', 'manager', 'officer', 'machine'] as const
const REVIEWERS = ['manager', 'officer'] as const
const tag = 'Doubles'
const json = 'application/json' as const

const list = route({
  method: 'get',
  path: '/v1/districts/{districtId}/doubles',
  tag,
  summary: 'Pairs that may be of one child or one dose, those that were settled, and merges',
  roles: STAFF,
  params: districtId,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    waiting: z.array(doubleShape),
    settled: z.array(doubleShape),
    report: z.array(settledShape),
    merges: z.array(mergeShape),
  }),
  contentType: json,
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => {
    const { waiting, settled, report, merges } = await viewDoubles(db, params.districtId)
    return {
      waiting: waiting.map(doubleJson),
      settled: settled.map(doubleJson),
      report: [...report],
      merges: merges.map(mergeJson),
    }
  },
})

const check = route({
  method: 'post',
  path: '/v1/districts/{districtId}/doubles/check',
  tag,
  summary: 'Have every child of the district compared anew by the next round',
  roles: STAFF,
  params: districtId,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ children: z.int() }),
  contentType: json,
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params }) => ({
    children: await checkAgain(db, deps, params.districtId, principal.name),
  }),
})

const flagged = z.object({ id })

const flagChild = route({
  method: 'post',
  path: '/v1/children/{childId}/doubles',
  tag,
  summary: 'Say that a record may be of the same child as another',
  roles: STAFF,
  params: z.object({ childId: id }),
  query: none,
  body: z.object({ otherChildId: id, comment }),
  status: 201,
  answer: flagged,
  contentType: json,
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => ({
    id: await flagChildren(db, deps, {
      childIds: [params.childId, body.otherChildId],
      by: principal.name,
      comment: body.comment,
    }),
  }),
})

const flagDose = route({
  method: 'post',
  path: '/v1/doses/{doseId}/doubles',
  tag,
  summary: 'Say that a report may be of the same dose as another',
  roles: STAFF,
  params: z.object({ doseId: id }),
  query: none,
  body: z.object({ otherDoseId: id, comment }),
  status: 201,
  answer: flagged,
  contentType: json,
  district: ({ db, params }) => districtOfDose(db, params.doseId),
  handle: async ({ db, deps, principal, params, body }) => ({
    id: await flagDoses(db, deps, {
      doseIds: [params.doseId, body.otherDoseId],
      by: principal.name,
      comment: body.comment,
    }),
  }),
})

const look = route({
  method: 'get',
  path: '/v1/doubles/{itemId}',
  tag,
  summary: 'Both records side by side, and which report of each dose should stay',
  roles: STAFF,
  params: itemId,
  query: none,
  body: noBody,
  status: 200,
  answer: sideBySideShape,
  contentType: json,
  district: async ({ db, params }) => (await getDouble(db, params.itemId)).districtId,
  handle: async ({ db, deps, params }) => sideBySideJson(await viewSideBySide(db, deps, params.itemId)),
})

const merge = route({
  method: 'post',
  path: '/v1/doubles/{itemId}/merge',
  tag,
  summary: 'Make two records one; both cards keep working',
  roles: REVIEWERS,
  params: itemId,
  query: none,
  body: z.object({
    staysId: id.describe('The record that stands afterwards, with its card.'),
    fromLeaving: z.array(z.enum(CHOSEN_FACTS)).default([]).describe('Facts taken from the other record.'),
    dropDoseIds: z
      .array(id)
      .nullable()
      .default(null)
      .describe('Reports of one dose to withdraw. Null: those proposed.'),
    comment,
  }),
  status: 200,
  answer: z.object({ mergeId: id, child: childShape }),
  contentType: json,
  district: async ({ db, params }) => (await getDouble(db, params.itemId)).districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { mergeId, plan } = await mergeDouble(db, deps, { ...params, ...body, by: principal.name })
    return { mergeId, child: childJson(await viewChild(db, plan.child.id)) }
  },
})

const two = route({
  method: 'post',
  path: '/v1/doubles/{itemId}/not-double',
  tag,
  summary: 'Say that they are two; the pair comes up again only when something compared changes',
  roles: REVIEWERS,
  params: itemId,
  query: none,
  body: z.object({ comment }),
  status: 200,
  answer: doubleShape,
  contentType: json,
  district: async ({ db, params }) => (await getDouble(db, params.itemId)).districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await sayTwo(db, deps, { ...params, ...body, by: principal.name })
    return doubleJson(await getDouble(db, params.itemId))
  },
})

const oneDose = route({
  method: 'post',
  path: '/v1/doubles/{itemId}/one-dose',
  tag,
  summary: 'Say that two reports are of one dose; the other report is withdrawn',
  roles: REVIEWERS,
  params: itemId,
  query: none,
  body: z.object({ keepDoseId: id, comment }),
  status: 200,
  answer: doubleShape,
  contentType: json,
  district: async ({ db, params }) => (await getDouble(db, params.itemId)).districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await keepOneDose(db, deps, { ...params, ...body, by: principal.name })
    return doubleJson(await getDouble(db, params.itemId))
  },
})

const undo = route({
  method: 'post',
  path: '/v1/merges/{mergeId}/undo',
  tag,
  summary: 'Part two records that were merged; each item goes back to its owner',
  roles: REVIEWERS,
  params: z.object({ mergeId: id }),
  query: none,
  body: z.object({ comment }),
  status: 200,
  answer: z.object({ children: z.array(childShape) }),
  contentType: json,
  district: async ({ db, params }) => (await getMerge(db, params.mergeId)).districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { staysId, leavesId } = await undoMerge(db, deps, { ...params, ...body, by: principal.name })
    return { children: [childJson(await viewChild(db, staysId)), childJson(await viewChild(db, leavesId))] }
  },
})

const rulesShape = doubleRulesSchema.meta({ id: 'DoubleRules' })

const readRules = route({
  method: 'get',
  path: '/v1/districts/{districtId}/double-rules',
  tag,
  summary: 'What speaks for two records being of one child in this district',
  roles: ['manager', 'officer', 'operator'],
  params: districtId,
  query: none,
  body: noBody,
  status: 200,
  answer: rulesShape,
  contentType: json,
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params }) => doubleRulesOf(db, deps.shelf, params.districtId),
})

const tryRules = route({
  method: 'post',
  path: '/v1/districts/{districtId}/double-rules/trial',
  tag,
  summary: 'What other rules would find, against those in force; nothing is kept',
  roles: REVIEWERS,
  params: districtId,
  query: none,
  body: rulesShape,
  status: 200,
  answer: trialShape,
  contentType: json,
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params, body }) => tryDoubleRules(db, deps, params.districtId, body),
})

const setRules = route({
  method: 'put',
  path: '/v1/districts/{districtId}/double-rules',
  tag,
  summary: 'Set the rules; every child is compared anew by them',
  roles: REVIEWERS,
  params: districtId,
  query: none,
  body: rulesShape,
  status: 200,
  answer: rulesShape,
  contentType: json,
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await setDoubleRules(db, deps, { ...params, rules: body, by: principal.name })
    await checkAgain(db, deps, params.districtId, principal.name)
    return body
  },
})

export const DOUBLE_ROUTES = [
  list,
  check,
  flagChild,
  flagDose,
  look,
  merge,
  two,
  oneDose,
  undo,
  readRules,
  tryRules,
  setRules,
]
