import { z } from 'zod'
import { getDistrict, pageOfTextsOut } from '../../app/views.ts'
import { scheduleOf } from '../../app/shelf.ts'
import { formatDay } from '../../core/days/day.ts'
import { route } from '../route.ts'
import { dayOut, id, noBody, none, page } from '../shapes.ts'

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
        body: z.string(),
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
  handle: async ({ db, params, query }) => {
    await getDistrict(db, params.districtId)
    const { after = null, limit } = query
    const texts = await pageOfTextsOut(db, { districtId: params.districtId, afterId: after, limit })
    return {
      messages: texts.map(({ id: textId, number, body, purpose, parts, status, createdAt }) => ({
        id: textId,
        number,
        body,
        purpose,
        parts,
        status,
        createdAt: createdAt.toISOString(),
      })),
      next: texts.length < limit ? null : (texts.at(-1)?.id ?? null),
    }
  },
})

const scheduleShape = z
  .object({
    id: z.string(),
    version: z.string(),
    title: z.string(),
    notice: z.string(),
    effectiveOn: dayOut,
    series: z.array(
      z.object({
        id: z.string(),
        name: z.string(),
        doses: z.int(),
        vaccines: z.array(z.string()).readonly(),
      }),
    ),
  })
  .meta({ id: 'Schedule' })

const READERS = ['vaccinator', 'manager', 'officer', 'operator', 'machine'] as const

const schedules = route({
  method: 'get',
  path: '/v1/schedules',
  tag: 'Schedules',
  summary: 'The schedules this service knows; your national schedule prevails',
  roles: READERS,
  params: none,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    schedules: z.array(z.object({ id: z.string(), title: z.string(), version: z.string() })),
  }),
  contentType: 'application/json',
  district: () => null,
  handle: ({ deps }) =>
    Promise.resolve({
      schedules: [...deps.shelf.schedules.values()].map(({ id: code, title, version }) => ({
        id: code,
        title,
        version,
      })),
    }),
})

const schedule = route({
  method: 'get',
  path: '/v1/schedules/{scheduleId}',
  tag: 'Schedules',
  summary: 'One schedule with its series',
  roles: READERS,
  params: z.object({ scheduleId: z.string().max(100) }),
  query: none,
  body: noBody,
  status: 200,
  answer: scheduleShape,
  contentType: 'application/json',
  district: () => null,
  handle: ({ deps, params }) => {
    const {
      id: code,
      version,
      title,
      notice,
      effectiveOn,
      series,
    } = scheduleOf(deps.shelf, params.scheduleId)
    return Promise.resolve({
      id: code,
      version,
      title,
      notice,
      effectiveOn: formatDay(effectiveOn),
      series: series.map(({ id: seriesId, name, doses, vaccines }) => ({
        id: seriesId,
        name,
        doses: doses.length,
        vaccines,
      })),
    })
  },
})

export const MESSAGE_ROUTES = [messages]
export const SCHEDULE_ROUTES = [schedules, schedule]
