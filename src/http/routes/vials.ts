import { z } from 'zod'
import { postIn } from '../../app/post-in.ts'
import { throwAway } from '../../app/vials/discard-vial.ts'
import { dosesFrom } from '../../app/vials/exposed-doses.ts'
import { openVial } from '../../app/vials/open-vial.ts'
import { vialNow } from '../../app/vials/vial-shelf.ts'
import { checkVial, getVial, vialsInUse } from '../../app/vials/view-vial.ts'
import { getDistrict } from '../../app/views.ts'
import { DISCARD_REASONS } from '../../core/vials/discard-reason.ts'
import { vialConditions } from '../../core/vials/vial.ts'
import { exposedDoseJson, exposedDoseShape } from '../exposed-dose.ts'
import { route } from '../route.ts'
import { dayIn, id, noBody, none, vialJson, vialShape } from '../shapes.ts'

const ROLES = ['vaccinator', 'manager', 'officer', 'machine'] as const
const inDistrict = z.object({ districtId: id })
const ofVial = z.object({ vialId: id })

const list = route({
  method: 'get',
  path: '/v1/districts/{districtId}/vials',
  tag: 'Vials',
  summary: 'The opened vials in use, those to be discarded first in front',
  roles: ROLES,
  params: inDistrict,
  query: z.object({ post: id.optional() }),
  body: noBody,
  status: 200,
  answer: z.object({ vials: z.array(vialShape) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, query }) => {
    const vials = await vialsInUse(db, deps, { ...params, postId: query.post ?? null })
    return { vials: vials.map(vialJson) }
  },
})

const open = route({
  method: 'post',
  path: '/v1/districts/{districtId}/vials',
  tag: 'Vials',
  summary: 'Register an opened vial; the answer says until when it may be used',
  roles: ROLES,
  params: inDistrict,
  query: none,
  body: z.object({
    postId: id,
    vaccine: z.string().max(20),
    product: z
      .string()
      .max(40)
      .nullable()
      .default(null)
      .describe('Presentation, as in src/data/products; left out: the one the district has.'),
    lot: z.string().trim().min(1).max(40),
    maker: z.string().trim().min(1).max(80).nullable().default(null),
    expiryOn: dayIn.describe('The last good day.'),
    openedAt: z.iso.datetime({ offset: true }).optional().describe('Left out: now.'),
    conditions: vialConditions.nullable().default(null),
  }),
  status: 201,
  answer: vialShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { openedAt, postId, ...rest } = body
    const vial = await openVial(db, deps, {
      ...rest,
      district: await getDistrict(db, params.districtId),
      postId: (await postIn(db, params.districtId, postId)).id,
      openedAt: openedAt === undefined ? deps.clock.now() : new Date(openedAt),
      by: principal.name,
      via: 'api',
      textInId: null,
    })
    return vialJson(await vialNow(db, deps.shelf, vial))
  },
})

const view = route({
  method: 'get',
  path: '/v1/vials/{vialId}',
  tag: 'Vials',
  summary: 'One opened vial and what is left in it',
  roles: ROLES,
  params: ofVial,
  query: none,
  body: noBody,
  status: 200,
  answer: vialShape,
  contentType: 'application/json',
  district: async ({ db, params }) => (await getVial(db, params.vialId)).districtId,
  handle: async ({ db, deps, params }) =>
    vialJson(await vialNow(db, deps.shelf, await getVial(db, params.vialId))),
})

const check = route({
  method: 'post',
  path: '/v1/vials/{vialId}/check',
  tag: 'Vials',
  summary: 'Whether a dose may be drawn from a vial now; nothing is stored',
  roles: ROLES,
  params: ofVial,
  query: none,
  body: z.object({ vaccine: z.string().max(20), conditions: vialConditions }),
  status: 200,
  answer: z.object({
    use: z.boolean(),
    reason: z.string().nullable().describe('Why not; docs/vials.md says what to tell.'),
  }),
  contentType: 'application/json',
  district: async ({ db, params }) => (await getVial(db, params.vialId)).districtId,
  handle: async ({ db, deps, params, body }) => {
    const answer = await checkVial(db, deps, await getVial(db, params.vialId), body)
    return answer.kind === 'use' ? { use: true, reason: null } : { use: false, reason: answer.reason }
  },
})

const discard = route({
  method: 'post',
  path: '/v1/vials/{vialId}/discard',
  tag: 'Vials',
  summary: 'Note that a vial was thrown away, with the coded reason',
  roles: ROLES,
  params: ofVial,
  query: none,
  body: z.object({
    reason: z.enum(DISCARD_REASONS),
    words: z.string().trim().max(200).nullable().default(null),
  }),
  status: 200,
  answer: vialShape,
  contentType: 'application/json',
  district: async ({ db, params }) => (await getVial(db, params.vialId)).districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const vial = await getVial(db, params.vialId)
    await throwAway(db, deps, { vial, ...body, at: deps.clock.now(), by: principal.name })
    return vialJson(await vialNow(db, deps.shelf, await getVial(db, params.vialId)))
  },
})

const exposed = route({
  method: 'get',
  path: '/v1/vials/{vialId}/doses',
  tag: 'Vials',
  summary: 'Who had a dose from a vial: child, hour, place and worker',
  roles: ROLES,
  params: ofVial,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ doses: z.array(exposedDoseShape) }),
  contentType: 'application/json',
  district: async ({ db, params }) => (await getVial(db, params.vialId)).districtId,
  handle: async ({ db, params }) => {
    const vial = await getVial(db, params.vialId)
    const doses = await dosesFrom(db, await getDistrict(db, vial.districtId), [vial])
    return { doses: doses.map(exposedDoseJson) }
  },
})

export const VIAL_ROUTES = [list, open, view, check, discard, exposed]
