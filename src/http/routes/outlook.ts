import { z } from 'zod'
import { districtOfChild, viewAppointments, viewForecast } from '../../app/views.ts'
import { childTimeline } from '../../core/schedule/child-timeline.ts'
import { explain } from '../../core/schedule/explain.ts'
import { forecastJson } from '../../core/schedule/forecast-json.ts'
import { route } from '../route.ts'
import { appointmentJson, appointmentShape, dayIn, forecastShape, id, noBody, none } from '../shapes.ts'

const childId = z.object({ childId: id })
const READERS = ['vaccinator', 'manager', 'officer', 'machine'] as const

const outlook = route({
  method: 'get',
  path: '/v1/children/{childId}/forecast',
  tag: 'Children',
  summary: 'What each dose counts for and what is next, with the reasons',
  roles: READERS,
  params: childId,
  query: z.object({ on: dayIn.optional().describe('Today where left out.') }),
  body: noBody,
  status: 200,
  answer: forecastShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, params, query }) => {
    const view = await viewForecast(db, deps, params.childId, query.on ?? null)
    return {
      childId: view.child.id,
      schedule: view.schedule.id,
      version: view.schedule.version,
      ...forecastJson(view.forecast),
      because: explain(view.schedule, view.facts, view.forecast),
    }
  },
})

const visits = route({
  method: 'get',
  path: '/v1/children/{childId}/appointments',
  tag: 'Appointments',
  summary: 'Every visit of a child, newest first',
  roles: READERS,
  params: childId,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ appointments: z.array(appointmentShape) }),
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, params }) => ({
    appointments: (await viewAppointments(db, params.childId)).map(appointmentJson),
  }),
})

const timeline = route({
  method: 'get',
  path: '/v1/children/{childId}/timeline.svg',
  tag: 'Children',
  summary: 'A child over its schedule: windows of each dose and what was given, drawn',
  roles: READERS,
  params: childId,
  query: z.object({ on: dayIn.optional().describe('Today where left out.') }),
  body: noBody,
  status: 200,
  answer: z.string(),
  contentType: 'image/svg+xml',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, params, query }) => {
    const { schedule, facts, on } = await viewForecast(db, deps, params.childId, query.on ?? null)
    return childTimeline(schedule, facts, on)
  },
})

export const OUTLOOK_ROUTES = [outlook, timeline, visits]
