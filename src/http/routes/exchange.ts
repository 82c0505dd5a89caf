import { z } from 'zod'
import { dosesAside } from '../../app/exchange/doses-aside.ts'
import { linkNumbers } from '../../app/exchange/settle-waiting.ts'
import { districtOfChild, viewChild } from '../../app/views.ts'
import { formatDay } from '../../core/days/day.ts'
import { route } from '../route.ts'
import { childJson, childShape, dayOut, id, none, noBody } from '../shapes.ts'

const STAFF = ['vaccinator', 'manager', 'officer', 'machine'] as const

const addNumbers = route({
  method: 'post',
  path: '/v1/children/{childId}/numbers',
  tag: 'Children',
  summary: 'Give a child a number beyond that of its card; those it has stay, and all of them find it',
  roles: STAFF,
  params: z.object({ childId: id }),
  query: none,
  body: z.object({
    numbers: z
      .array(
        z.object({
          issuer: z
            .string()
            .max(200)
            .regex(/^[a-z][a-z0-9+.-]*:\S+$/i, 'Write a URI that names the issuer, such as urn:…')
            .describe('A URI that names who gave the number; FHIR calls it the system.'),
          number: z.string().trim().min(1).max(100),
        }),
      )
      .min(1)
      .max(20),
  }),
  status: 200,
  answer: childShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    await linkNumbers(db, deps, { ...params, ...body, by: principal.name })
    return childJson(await viewChild(db, params.childId))
  },
})

const aside = route({
  method: 'get',
  path: '/v1/districts/{districtId}/doses-aside',
  tag: 'Exchange',
  summary: 'Doses that other registers told of and that are not on record, with what they wait for',
  roles: ['manager', 'officer', 'machine'],
  params: z.object({ districtId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    doses: z.array(
      z.object({
        issuer: z.string(),
        number: z.string(),
        childId: id.nullable(),
        childIssuer: z.string(),
        childNumber: z.string(),
        code: z.json(),
        vaccine: z.string().nullable(),
        givenOn: dayOut.nullable(),
        day: z.string().describe('As it was sent.'),
        problem: z.string(),
        receivedAt: z.iso.datetime(),
        receivedBy: z.string(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => {
    const statements = await dosesAside(db, params.districtId)
    return {
      doses: statements.map(
        ({ issuer, number, childId, childIssuer, childNumber, code, vaccine, ...rest }) => ({
          issuer,
          number,
          childId,
          childIssuer,
          childNumber,
          code,
          vaccine,
          givenOn: rest.givenOn === null ? null : formatDay(rest.givenOn),
          day: rest.dayText,
          problem: rest.problem ?? '',
          receivedAt: rest.receivedAt.toISOString(),
          receivedBy: rest.receivedBy,
        }),
      ),
    }
  },
})

export const EXCHANGE_ROUTES = [addNumbers, aside]
