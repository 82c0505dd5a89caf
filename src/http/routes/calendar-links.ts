import { z } from 'zod'
import { makeCalendarLink, stopCalendarLink } from '../../app/calendar-links.ts'
import { calendarLinksOf } from '../../app/views.ts'
import type { CalendarLink } from '../../app/views.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const ROLES = ['manager', 'officer'] as const
const ofDistrict = z.object({ districtId: id })
const whose = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('post'), postId: id }),
  z.object({ kind: z.literal('child'), childId: id }),
])
const linkShape = z
  .object({
    id,
    of: whose,
    madeBy: z.string(),
    madeAt: z.iso.datetime(),
    endedAt: z.iso.datetime().nullable(),
  })
  .meta({ id: 'CalendarLink' })

function linkJson({ id: linkId, of, madeBy, madeAt, endedAt }: CalendarLink): z.input<typeof linkShape> {
  return { id: linkId, of, madeBy, madeAt: madeAt.toISOString(), endedAt: endedAt?.toISOString() ?? null }
}

const make = route({
  method: 'post',
  path: '/v1/districts/{districtId}/calendar-links',
  tag: 'Appointments',
  summary:
    'A link by which any calendar follows the session days of a post or the visits of a child (RFC 5545)',
  roles: ROLES,
  params: ofDistrict,
  query: none,
  body: z.object({ of: whose }),
  status: 201,
  answer: linkShape.extend({
    path: z.string().describe('Shown once. Whoever has it may read the calendar until the link is ended.'),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { link, path } = await makeCalendarLink(db, deps, { ...params, ...body, by: principal.name })
    return { ...linkJson(link), path }
  },
})

const list = route({
  method: 'get',
  path: '/v1/districts/{districtId}/calendar-links',
  tag: 'Appointments',
  summary: 'The calendar links of a district, ended ones too, the newest first',
  roles: ROLES,
  params: ofDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ links: z.array(linkShape) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => ({ links: (await calendarLinksOf(db, params.districtId)).map(linkJson) }),
})

const end = route({
  method: 'post',
  path: '/v1/districts/{districtId}/calendar-links/{linkId}/end',
  tag: 'Appointments',
  summary: 'End a calendar link; it shows nothing any more',
  roles: ROLES,
  params: ofDistrict.extend({ linkId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ links: z.array(linkShape) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params }) => {
    await stopCalendarLink(db, deps, { ...params, by: principal.name })
    return { links: (await calendarLinksOf(db, params.districtId)).map(linkJson) }
  },
})

export const CALENDAR_ROUTES = [make, list, end]
