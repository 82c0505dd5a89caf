import { z } from 'zod'
import { ERASE_ASKERS, ERASE_REASONS, eraseChild } from '../../app/privacy/erase-child.ts'
import { everythingHeld } from '../../app/privacy/everything-held.ts'
import { recordOfChild } from '../../app/audit/show-record.ts'
import { barSharing } from '../../app/privacy/bar-sharing.ts'
import { districtOfChild, viewChild } from '../../app/views.ts'
import { route } from '../route.ts'
import { childJson, childShape, id, noBody, none } from '../shapes.ts'

const ofChild = z.object({ childId: id })

const everything = route({
  method: 'get',
  path: '/v1/children/{childId}/everything-held',
  tag: 'Privacy',
  summary: 'All that is held of a child, for its family: every row and every text; who asked is noted',
  roles: ['manager', 'officer'],
  params: ofChild,
  query: none,
  body: noBody,
  status: 200,
  answer: z
    .record(z.string(), z.array(z.record(z.string(), z.json())))
    .describe('The rows of each kind, as they are kept; see docs/privacy.md.'),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: ({ db, deps, params, principal }) => everythingHeld(db, deps, { ...params, by: principal.name }),
})

const record = route({
  method: 'get',
  path: '/v1/children/{childId}/record',
  tag: 'Privacy',
  summary:
    'Who saw, got or changed what of a child: answers, pages, lists, files, texts and calls, newest first',
  roles: ['manager', 'officer'],
  params: ofChild,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    entries: z.array(
      z.object({
        at: z.iso.datetime(),
        who: z.string(),
        act: z.string(),
        what: z.string().nullable(),
        isAmongOthers: z.boolean().describe('Whether it told of other children too.'),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, params }) => ({
    entries: (await recordOfChild(db, params.childId)).map(({ at, ...line }) => ({
      ...line,
      at: at.toISOString(),
    })),
  }),
})

const erase = route({
  method: 'post',
  path: '/v1/children/{childId}/erase',
  tag: 'Privacy',
  summary: 'Remove for good who a child was, as its family asked; what is counted stays without a name',
  roles: ['officer'],
  params: ofChild,
  query: none,
  body: z.strictObject({
    reason: z.enum(ERASE_REASONS),
    askedBy: z.enum(ERASE_ASKERS),
  }),
  status: 200,
  answer: z.object({
    records: z.int().describe('The record of the child and those merged into it.'),
    texts: z
      .int()
      .describe('Of the family, or that a row leads to; what only names the child goes within minutes.'),
    numbers: z.int().describe('Phone numbers; those that serve another child stay.'),
  }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, params, principal, body }) =>
    eraseChild(db, deps, { ...params, ...body, by: principal.name }),
})

const sharing = route({
  method: 'put',
  path: '/v1/children/{childId}/sharing',
  tag: 'Privacy',
  summary: "Keep a family's wish that other systems are not told of its child, or end it",
  roles: ['vaccinator', 'manager', 'officer'],
  params: ofChild,
  query: none,
  body: z.strictObject({
    barred: z.boolean(),
    askedBy: z.enum(ERASE_ASKERS).optional().describe('Who asked, kept in the record.'),
  }),
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, params, principal, body }) => {
    const { barred: isBarred, askedBy = null } = body
    await barSharing(db, deps, { ...params, isBarred, askedBy, by: principal.name })
    return childJson(await viewChild(db, params.childId))
  },
})

export const PRIVACY_ROUTES = [everything, record, erase, sharing]
