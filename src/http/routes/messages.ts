import { z } from 'zod'
import { getDistrict, pageOfTextsOut } from '../../app/views.ts'
import { route } from '../route.ts'
import { id, noBody, page } from '../shapes.ts'

const messages = route({
  method: 'get',
  path: '/v1/districts/{districtId}/messages',
  tag: 'Messages',
  summary: 'Texts sent, newest first, with what became of them',
  roles: ['manager', 'officer', 'operator'],
  params: z.object({ districtId: id }),
  query: z.object(page),
  body: noBody,
  status: 200,
  answer: z.object({
    messages: z.array(
      z.object({
        id,
        number: z.string(),
        body: z
          .string()
          .nullable()
          .describe('Null to an operator, and where it holds what only its reader may know.'),
        purpose: z.enum(['reminder', 'reply', 'alert', 'list']),
        parts: z.int(),
        status: z.string(),
        createdAt: z.iso.datetime(),
      }),
    ),
    next: id.nullable(),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, principal, params, query }) => {
    await getDistrict(db, params.districtId)
    const { after = null, limit } = query
    const texts = await pageOfTextsOut(db, { districtId: params.districtId, afterId: after, limit })
    return {
      messages: texts.map(({ id: textId, number, body, purpose, parts, status, createdAt }) => ({
        id: textId,
        number,
        body: principal.role === 'operator' || purpose === 'alert' ? null : body,
        purpose,
        parts,
        status,
        createdAt: createdAt.toISOString(),
      })),
      next: texts.length < limit ? null : (texts.at(-1)?.id ?? null),
    }
  },
})

export const MESSAGE_ROUTES = [messages]
