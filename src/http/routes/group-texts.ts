import { z } from 'zod'
import { textGroup } from '../../app/group-texts.ts'
import { route } from '../route.ts'
import { dayIn, id, none } from '../shapes.ts'

const write = route({
  method: 'post',
  path: '/v1/districts/{districtId}/group-texts',
  tag: 'Messages',
  summary: 'Write to the families of children who lack a dose: counted first, sent where isConfirmed is true',
  roles: ['manager', 'officer'],
  params: z.object({ districtId: id }),
  query: none,
  body: z.object({
    villageId: id.nullable().default(null).describe('Null: every village.'),
    bornFrom: dayIn,
    bornTo: dayIn,
    series: z.string().max(20),
    dose: z.int().min(1).max(20),
    words: z
      .record(z.string().max(20), z.string().trim().min(1).max(300))
      .describe('By language. Who speaks and how to stop are put around them.'),
    isConfirmed: z.boolean().default(false),
  }),
  status: 200,
  answer: z.object({ children: z.int(), phones: z.int(), parts: z.int(), isSent: z.boolean() }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, principal, params, body }) =>
    textGroup(db, deps, { ...params, ...body, by: principal.name }),
})

export const GROUP_TEXT_ROUTES = [write]
