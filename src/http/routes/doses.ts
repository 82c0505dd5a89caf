import { z } from 'zod'
import { giveDoseReason } from '../../app/give-dose-reason.ts'
import { moveDose } from '../../app/move-dose.ts'
import { postOfChild } from '../../app/post-in.ts'
import { recordDoses } from '../../app/record-doses.ts'
import { sourcesOf } from '../../app/vials/view-vial.ts'
import { districtOfChild, districtOfDose, reasonsOf, viewChild, viewDoses } from '../../app/views.ts'
import { withdrawDose } from '../../app/withdraw-dose.ts'
import { route } from '../route.ts'
import { childJson, childShape, dayIn, doseJson, doseShape, id, noBody, none, timeIn } from '../shapes.ts'

const childId = z.object({ childId: id })
const STAFF = ['vaccinator', 'manager', 'officer'] as const
const ROLES = ['vaccinator', 'manager', 'officer', 'machine'] as const

const list = route({
  method: 'get',
  path: '/v1/children/{childId}/doses',
  tag: 'Doses',
  summary: 'Every dose on record with what it counts for; withdrawn ones too',
  roles: ROLES,
  params: childId,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    doses: z.array(
      doseShape.extend({
        givenBecause: z
          .string()
          .nullable()
          .describe('Why it was given against the advice, where that was told.'),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, params }) => {
    const doses = await viewDoses(db, deps, params.childId)
    const all = doses.map(({ dose }) => dose)
    const sources = await sourcesOf(db, deps.shelf, all)
    const reasons = await reasonsOf(db, params.childId)
    return {
      doses: doses.map(({ dose, counts }) => ({
        ...doseJson(dose, counts, sources.get(dose.id)),
        givenBecause: reasons.get(dose.id)?.reason ?? null,
      })),
    }
  },
})

const record = route({
  method: 'post',
  path: '/v1/children/{childId}/doses',
  tag: 'Doses',
  summary: 'Record the doses of one visit; what is on record for the day stays as it is',
  roles: ROLES,
  params: childId,
  query: none,
  body: z.object({
    vaccines: z
      .union([z.literal('all'), z.array(z.string().max(20)).min(1).max(40)])
      .describe('Vaccine codes, or "all" for everything that was due on the day.'),
    givenOn: dayIn,
    givenTime: timeIn
      .nullable()
      .default(null)
      .describe('The hour on the clock of the district, where it is known.'),
    delivery: z.enum(['routine', 'campaign']).default('routine'),
    isElsewhere: z.boolean().default(false).describe('Given by someone else and entered from a card.'),
    vial: z.string().max(9).nullable().default(null).describe('Number of the opened vial it was drawn from.'),
    postId: id.nullable().default(null).describe('The health post that gave it.'),
  }),
  status: 201,
  answer: z.object({ doses: z.array(doseShape), child: childShape }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    const { vaccines, givenOn, givenTime, delivery, isElsewhere, vial, postId } = body
    const named = vaccines === 'all' ? vaccines : vaccines.map((vaccine) => ({ vaccine, typedNumber: null }))
    const { plan, recorded } = await recordDoses(db, deps, {
      childId: params.childId,
      vaccines: named,
      givenOn,
      givenMinute: givenTime,
      by: principal.name,
      via: 'api',
      postId: postId === null ? null : (await postOfChild(db, params.childId, postId)).id,
      textInId: null,
      sentAt: null,
      delivery,
      isElsewhere,
      vial,
    })
    const sources = await sourcesOf(db, deps.shelf, plan.doses)
    const doses = recorded.flatMap(({ id: doseId, counts }) => {
      const dose = plan.doses.find((each) => each.id === doseId)
      return dose === undefined ? [] : [doseJson(dose, counts, sources.get(dose.id))]
    })
    return { doses, child: childJson(await viewChild(db, params.childId)) }
  },
})

const explain = route({
  method: 'put',
  path: '/v1/doses/{doseId}/reason',
  tag: 'Doses',
  summary: 'Say why a dose was given that a rule speaks against; the data check counts such doses',
  roles: STAFF,
  params: z.object({ doseId: id }),
  query: none,
  body: z.object({ reason: z.string().trim().min(1).max(300) }),
  status: 200,
  answer: z.object({ id, givenBecause: z.string() }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfDose(db, params.doseId),
  handle: async ({ db, deps, principal, params, body }) => {
    await giveDoseReason(db, deps, { ...params, ...body, by: principal.name })
    return { id: params.doseId, givenBecause: body.reason }
  },
})

const withdraw = route({
  method: 'post',
  path: '/v1/doses/{doseId}/withdrawal',
  tag: 'Doses',
  summary: 'Withdraw a dose; the record stays readable with who, when and why',
  roles: ROLES,
  params: z.object({ doseId: id }),
  query: none,
  body: z.object({ reason: z.string().trim().min(1).max(200) }),
  status: 200,
  answer: z.object({ child: childShape }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfDose(db, params.doseId),
  handle: async ({ db, deps, principal, params, body }) => {
    const plan = await withdrawDose(db, deps, { ...params, ...body, by: principal.name })
    return { child: childJson(await viewChild(db, plan.child.id)) }
  },
})

const move = route({
  method: 'post',
  path: '/v1/doses/{doseId}/move',
  tag: 'Doses',
  summary: 'Move a dose that was noted for the wrong child; there it stays readable as withdrawn',
  roles: STAFF,
  params: z.object({ doseId: id }),
  query: none,
  body: z.object({ card: z.string().trim().min(1).max(12).describe('Of the child that was given it.') }),
  status: 200,
  answer: z.object({ child: childShape.describe('The child that was given it.') }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfDose(db, params.doseId),
  handle: async ({ db, deps, principal, params, body }) => {
    const child = await moveDose(db, deps, { ...params, ...body, by: principal.name })
    return { child: childJson(await viewChild(db, child.id)) }
  },
})

export const DOSE_ROUTES = [list, record, explain, withdraw, move]
