import { z } from 'zod'
import { changeStatus, correctChild, moveChild, swapPhone } from '../../app/change-child.ts'
import { enrolChild } from '../../app/enrol-child.ts'
import { provenCard } from '../../app/proven-card.ts'
import type { Plan } from '../../app/refresh-plan.ts'
import {
  districtOfChild,
  getDistrict,
  getVillage,
  villageNotFound,
  viewByCard,
  viewByNumber,
  viewByPhone,
  viewChild,
  viewPage,
} from '../../app/views.ts'
import type { ChildView } from '../../app/views.ts'
import { Refusal } from '../../core/refusals.ts'
import { caregiver, lineOf } from '../caregiver-line.ts'
import { route } from '../route.ts'
import type { Handle } from '../../app/deps.ts'
import { childJson, childShape, dayIn, id, noBody, none, page, timeIn } from '../shapes.ts'

const childId = z.object({ childId: id })
const sex = z.enum(['female', 'male'])
const childName = z.string().trim().min(1).max(120)
const birthWeight = z.int().min(300).max(8000)

const WRITERS = ['vaccinator', 'manager', 'officer', 'machine'] as const
const READERS = ['vaccinator', 'manager', 'officer', 'machine'] as const

async function afterwards(db: Handle, plan: Plan) {
  return childJson(await viewChild(db, plan.child.id))
}

const enrol = route({
  method: 'post',
  path: '/v1/children',
  tag: 'Children',
  summary: 'Enrol a child',
  roles: WRITERS,
  params: none,
  query: none,
  body: z.object({
    villageId: id,
    name: childName,
    sex: sex.nullable().describe('Null where it is not known.'),
    birthDate: dayIn,
    isBirthEstimated: z.boolean().default(false),
    birthWeightGrams: birthWeight.nullable().default(null),
    birthTime: timeIn.nullable().default(null).describe('Only measures in hours ask for it.'),
    cardNumber: z.string().optional().describe('Left out: a number is made.'),
    caregiver: caregiver.optional().describe('Left out: a family without a phone.'),
    isKnownToBeNew: z
      .boolean()
      .default(false)
      .describe('Say true only after someone has looked at the candidates of a child-may-exist answer.'),
  }),
  status: 201,
  answer: childShape,
  contentType: 'application/json',
  district: async ({ db, body }) => (await getVillage(db, body.villageId)).districtId,
  handle: async ({ db, deps, principal, body }) => {
    const village = await getVillage(db, body.villageId)
    const district = await getDistrict(db, village.districtId)
    const plan = await enrolChild(db, deps, {
      districtId: district.id,
      villageId: village.id,
      name: body.name,
      sex: body.sex,
      birthOn: body.birthDate,
      isBirthEstimated: body.isBirthEstimated,
      birthWeightGrams: body.birthWeightGrams,
      birthMinute: body.birthTime,
      cardNumber: body.cardNumber === undefined ? null : provenCard(body.cardNumber),
      caregiver: body.caregiver === undefined ? null : lineOf(body.caregiver, district, deps.shelf),
      isKnownToBeNew: body.isKnownToBeNew,
      by: principal.name,
      via: 'api',
    })
    return afterwards(db, plan)
  },
})

const find = route({
  method: 'get',
  path: '/v1/children',
  tag: 'Children',
  summary: 'Find children by card or phone, or page through a district or village',
  roles: READERS,
  params: none,
  query: z.object({
    card: z.string().optional(),
    phone: z.string().optional().describe('Needs district.'),
    number: z.string().optional().describe('A number that somebody else gave the child.'),
    issuer: z.string().optional().describe('With number: the URI of who gave it; left out: anyone.'),
    district: id.optional(),
    village: id.optional(),
    ...page,
  }),
  body: noBody,
  status: 200,
  answer: z.object({ children: z.array(childShape), next: id.nullable() }),
  contentType: 'application/json',
  district: ({ principal, query }) => query.district ?? principal.districtId,
  handle: async ({ db, principal, query }) => {
    const districtId = query.district ?? principal.districtId
    if (query.card !== undefined) return found(await viewByCard(db, query.card, districtId))
    if (query.number !== undefined) {
      const { number, issuer = null } = query
      return found(await viewByNumber(db, { issuer, number }, districtId))
    }
    if (districtId === null) throw new Refusal('input-invalid', 'Name a district: ?district=…')
    if (query.phone !== undefined)
      return found(await viewByPhone(db, query.phone, await getDistrict(db, districtId)))
    const { village = null, after = null, limit } = query
    const children = await viewPage(db, { districtId, villageId: village, afterId: after, limit })
    return { ...found(children), next: children.length < limit ? null : (children.at(-1)?.child.id ?? null) }
  },
})

function found(views: readonly ChildView[]) {
  return { children: views.map(childJson), next: null }
}

const get = route({
  method: 'get',
  path: '/v1/children/{childId}',
  tag: 'Children',
  summary: 'One child',
  roles: READERS,
  params: childId,
  query: none,
  body: noBody,
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, params }) => childJson(await viewChild(db, params.childId)),
})

const correct = route({
  method: 'patch',
  path: '/v1/children/{childId}',
  tag: 'Children',
  summary: 'Correct what is known of a child',
  roles: WRITERS,
  params: childId,
  query: none,
  body: z
    .object({
      name: childName,
      sex,
      birthDate: dayIn,
      isBirthEstimated: z.boolean(),
      birthWeightGrams: birthWeight.nullable(),
      birthTime: timeIn.nullable(),
    })
    .partial()
    .strict(),
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    const { birthDate, name, sex: corrected, isBirthEstimated, birthWeightGrams, birthTime } = body
    const plan = await correctChild(db, deps, {
      childId: params.childId,
      by: principal.name,
      ...(name === undefined ? {} : { name }),
      ...(corrected === undefined ? {} : { sex: corrected }),
      ...(birthDate === undefined ? {} : { birthOn: birthDate }),
      ...(isBirthEstimated === undefined ? {} : { isBirthEstimated }),
      ...(birthWeightGrams === undefined ? {} : { birthWeightGrams }),
      ...(birthTime === undefined ? {} : { birthMinute: birthTime }),
    })
    return afterwards(db, plan)
  },
})

const move = route({
  method: 'post',
  path: '/v1/children/{childId}/move',
  tag: 'Children',
  summary: 'Move a child to another village; visits and reminders follow',
  roles: WRITERS,
  params: childId,
  query: none,
  body: z.object({ villageId: id }),
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    const village = await getVillage(db, body.villageId)
    if (principal.districtId !== null && principal.districtId !== village.districtId) {
      throw villageNotFound(village.id)
    }
    return afterwards(db, await moveChild(db, deps, { ...params, ...body, by: principal.name }))
  },
})

const status = route({
  method: 'post',
  path: '/v1/children/{childId}/status',
  tag: 'Children',
  summary: 'Close a child (moved, lost, refused, died, away) or open it again',
  roles: WRITERS,
  params: childId,
  query: none,
  body: z.object({
    status: z.enum(['active', 'moved', 'lost', 'refused', 'died', 'away', 'entered-in-error']),
    on: dayIn,
    reason: z.string().max(200).nullable().default(null),
    awayUntil: dayIn
      .nullable()
      .default(null)
      .describe('With away: the day of return, when it ends by itself.'),
  }),
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) =>
    afterwards(db, await changeStatus(db, deps, { ...params, ...body, by: principal.name })),
})

const phone = route({
  method: 'put',
  path: '/v1/children/{childId}/phone',
  tag: 'Children',
  summary: 'Give the family another phone, or none',
  roles: WRITERS,
  params: childId,
  query: none,
  body: z.object({ caregiver: caregiver.nullable() }),
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    const { district } = await viewChild(db, params.childId)
    const line = body.caregiver === null ? null : lineOf(body.caregiver, district, deps.shelf)
    return afterwards(db, await swapPhone(db, deps, { ...params, caregiver: line, by: principal.name }))
  },
})

export const CHILD_ROUTES = [enrol, find, get, correct, move, status, phone]
