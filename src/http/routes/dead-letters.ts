import { z } from 'zod'
import { closeDeadLetter, deadLetters, sendAgain } from '../../app/dead-letters.ts'
import { getDistrict } from '../../app/views.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const READERS = ['manager', 'officer', 'operator'] as const
const WRITERS = ['manager', 'officer'] as const
const ofText = z.object({ districtId: id, textId: id })
const done = z.object({ done: z.literal(true) })

const list = route({
  method: 'get',
  path: '/v1/districts/{districtId}/dead-letters',
  tag: 'Messages',
  summary: 'Texts that failed for good and texts that could not be answered, until someone deals with them',
  roles: READERS,
  params: z.object({ districtId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    failed: z.array(
      z.object({
        id,
        number: z.string(),
        purpose: z.string(),
        status: z.enum(['failed', 'undelivered', 'unknown']),
        reason: z.string().nullable(),
        childIds: z.array(id),
        createdAt: z.iso.datetime(),
      }),
    ),
    parked: z.array(
      z.object({
        id,
        fromNumber: z.string(),
        trouble: z.string().nullable(),
        tries: z.int(),
        receivedAt: z.iso.datetime(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params, principal }) => {
    await getDistrict(db, params.districtId)
    const { failed, parked } = await deadLetters(db, params.districtId)
    return {
      failed: failed.map((text) => ({
        ...text,
        // An operator sees no child.
        childIds: principal.role === 'operator' ? [] : [...text.childIds],
        createdAt: text.createdAt.toISOString(),
      })),
      parked: parked.map((text) => ({ ...text, receivedAt: text.receivedAt.toISOString() })),
    }
  },
})

const again = route({
  method: 'post',
  path: '/v1/districts/{districtId}/dead-letters/{textId}/send-again',
  tag: 'Messages',
  summary: 'Sends a failed text again, to another number if need be, or reads a parked one again',
  roles: WRITERS,
  params: ofText,
  query: none,
  body: z.object({
    number: z
      .string()
      .regex(/^\+[1-9]\d{6,14}$/)
      .optional()
      .describe('E.164; not for reminders, whose number is set at the child.'),
  }),
  status: 200,
  answer: done,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { districtId, textId } = params
    await sendAgain(db, deps, { districtId, id: textId, by: principal.name, number: body.number })
    return { done: true as const }
  },
})

const close = route({
  method: 'post',
  path: '/v1/districts/{districtId}/dead-letters/{textId}/close',
  tag: 'Messages',
  summary: 'Takes a failed text off the list',
  roles: WRITERS,
  params: ofText,
  query: none,
  body: noBody,
  status: 200,
  answer: done,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params }) => {
    const { districtId, textId } = params
    await closeDeadLetter(db, deps, { districtId, id: textId, by: principal.name })
    return { done: true as const }
  },
})

export const DEAD_LETTER_ROUTES = [list, again, close]
