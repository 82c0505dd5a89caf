import { z } from 'zod'
import { publishSchedule } from '../../app/publish-schedule.ts'
import { newestOf, scheduleCodes, versionsOf } from '../../app/schedule-versions.ts'
import { formatDay } from '../../core/days/day.ts'
import { Refusal } from '../../core/refusals.ts'
import { scheduleChart } from '../../core/schedule/schedule-chart.ts'
import type { Schedule } from '../../core/schedule/schedule.ts'
import { route } from '../route.ts'
import { dayOut, noBody, none } from '../shapes.ts'

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

function scheduleJson(made: Schedule): z.input<typeof scheduleShape> {
  const { id, version, title, notice, effectiveOn, series } = made
  return {
    id,
    version,
    title,
    notice,
    effectiveOn: formatDay(effectiveOn),
    series: series.map(({ id: code, name, doses, vaccines }) => ({
      id: code,
      name,
      doses: doses.length,
      vaccines,
    })),
  }
}

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
  handle: async ({ db, deps }) => {
    const codes = await scheduleCodes(db, deps.shelf)
    const newest = await Promise.all(
      codes.map(async (code) => newestOf(await versionsOf(db, deps.shelf, code))),
    )
    return { schedules: newest.map(({ id, title, version }) => ({ id, title, version })) }
  },
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
  handle: async ({ db, deps, params }) =>
    scheduleJson(newestOf(await versionsOf(db, deps.shelf, params.scheduleId))),
})

const publish = route({
  method: 'post',
  path: '/v1/schedules',
  tag: 'Schedules',
  summary:
    'Publish a new version of a schedule; its children are planned again from the day it comes into force',
  roles: ['officer'],
  params: none,
  query: none,
  body: z.record(z.string(), z.json()).describe('A schedule file, see docs/schedule-format.md.'),
  status: 201,
  answer: z.object({ schedule: scheduleShape, children: z.int() }),
  contentType: 'application/json',
  // A schedule concerns every district that uses it: only a token of all districts may publish.
  district: ({ principal }) => principal.districtId,
  handle: async ({ db, deps, principal, body }) => {
    if (principal.districtId !== null) {
      throw new Refusal('not-allowed', 'Only a token of all districts may publish a schedule.')
    }
    const { schedule: published, children } = await publishSchedule(db, deps, body, principal.name)
    return { schedule: scheduleJson(published), children }
  },
})

const chart = route({
  method: 'get',
  path: '/v1/schedules/{scheduleId}/chart.svg',
  tag: 'Schedules',
  summary: 'A schedule drawn over age: the window of each dose',
  roles: READERS,
  params: z.object({ scheduleId: z.string().max(100) }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.string(),
  contentType: 'image/svg+xml',
  district: () => null,
  handle: async ({ db, deps, params }) =>
    scheduleChart(newestOf(await versionsOf(db, deps.shelf, params.scheduleId))),
})

export const SCHEDULE_ROUTES = [schedules, schedule, chart, publish]
