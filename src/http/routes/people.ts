import { z } from 'zod'
import { makePinCode, peopleWithPins } from '../../app/pins/make-pin-code.ts'
import { getDistrict } from '../../app/views.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const LEADERS = ['manager', 'officer'] as const

const list = route({
  method: 'get',
  path: '/v1/districts/{districtId}/people',
  tag: 'People',
  summary: 'Vaccinators and managers of a district, and how the PIN of each stands',
  roles: LEADERS,
  params: z.object({ districtId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    people: z.array(
      z.object({
        id,
        name: z.string(),
        role: z.string(),
        phone: z.string(),
        pin: z.enum(['none', 'code-made', 'chosen', 'locked']),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params }) => {
    await getDistrict(db, params.districtId)
    return { people: await peopleWithPins(db, deps, params.districtId) }
  },
})

const makeCode = route({
  method: 'post',
  path: '/v1/districts/{districtId}/people/{personId}/pin-code',
  tag: 'People',
  summary:
    'Makes a code with which a worker chooses a PIN; the old PIN and a lock end. Say it, do not send it',
  roles: LEADERS,
  params: z.object({ districtId: id, personId: id }),
  query: none,
  body: noBody,
  status: 201,
  answer: z.object({ code: z.string(), until: z.iso.datetime() }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, principal }) => {
    const { code, until } = await makePinCode(db, deps, { ...params, by: principal.name })
    return { code, until: until.toISOString() }
  },
})

export const PEOPLE_ROUTES = [list, makeCode]
