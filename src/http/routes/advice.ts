import { z } from 'zod'
import { adviceOf, signAdvice } from '../../app/sign-advice.ts'
import { getDistrict } from '../../app/views.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const adviceShape = z
  .object({
    advice: z.array(
      z.object({
        language: z.string(),
        version: z.string().describe('Changes with any word of the advice.'),
        texts: z.record(z.string(), z.string()),
        signed: z.object({ signedBy: z.string(), signedOn: z.iso.date() }).nullable(),
      }),
    ),
  })
  .meta({ id: 'Advice' })

const read = route({
  method: 'get',
  path: '/v1/districts/{districtId}/advice',
  tag: 'Messages',
  summary: 'What families are told of health in each language, its version, and who signed it',
  roles: ['manager', 'officer', 'operator'],
  params: z.object({ districtId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: adviceShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params }) => ({
    advice: [...(await adviceOf(db, deps, await getDistrict(db, params.districtId)))],
  }),
})

const sign = route({
  method: 'put',
  path: '/v1/districts/{districtId}/advice/{language}/sign-off',
  tag: 'Messages',
  summary:
    'Keep that a clinician stands for this version of the advice; a changed wording has to be signed anew',
  roles: ['manager', 'officer'],
  params: z.object({ districtId: id, language: z.string().max(20) }),
  query: none,
  body: z.object({
    version: z.string().max(20),
    signedBy: z.string().trim().min(1).max(120).describe('Name or office of the clinician.'),
  }),
  status: 200,
  answer: adviceShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => ({
    advice: [...(await signAdvice(db, deps, { ...params, ...body, by: principal.name }))],
  }),
})

export const ADVICE_ROUTES = [read, sign]
