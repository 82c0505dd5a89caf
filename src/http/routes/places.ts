import { z } from 'zod'
import { setVillage } from '../../app/set-village.ts'
import { wordDistrict } from '../../app/set-wording.ts'
import { districtFile, population } from '../../app/district-file.ts'
import { loadDistrict } from '../../app/load-district.ts'
import {
  findDistrictByName,
  getDistrict,
  getVillage,
  listDistricts,
  listDue,
  listHealthPosts,
  listVillages,
} from '../../app/views.ts'
import { formatDay } from '../../core/days/day.ts'
import type { District, SessionTimetable, Village } from '../../core/model.ts'
import type { Handle } from '../../app/deps.ts'
import type { Principal } from '../../app/tokens.ts'
import { Refusal } from '../../core/refusals.ts'
import { route } from '../route.ts'
import { dayIn, dayOut, id, noBody, none, plannedDoseShape } from '../shapes.ts'

const READERS = ['vaccinator', 'manager', 'officer', 'operator', 'machine'] as const
const inDistrict = z.object({ districtId: id })

const districtShape = z
  .object({
    id,
    name: z.string(),
    timeZone: z.string(),
    region: z.string(),
    languages: z.array(z.string()).readonly(),
    calendar: z.string(),
    schedule: z.string(),
    bundlingDays: z.int(),
  })
  .meta({ id: 'District' })

function districtJson(district: District): z.input<typeof districtShape> {
  const { id: districtId, name, timeZone, region, languages, calendar, scheduleCode, bundlingDays } = district
  return { id: districtId, name, timeZone, region, languages, calendar, schedule: scheduleCode, bundlingDays }
}

const timetableShape = z
  .object({
    rules: z.array(z.string()).readonly().describe('RFC 5545 recurrence rules.'),
    extraDays: z.array(dayOut),
    exceptDays: z.array(dayOut),
  })
  .meta({ id: 'SessionTimetable' })

function timetableJson({ rules, extraDays, exceptDays }: SessionTimetable): z.input<typeof timetableShape> {
  return { rules, extraDays: extraDays.map(formatDay), exceptDays: exceptDays.map(formatDay) }
}

const villageShape = z
  .object({
    id,
    name: z.string(),
    post: z.object({ id, name: z.string() }),
    population: z.int().nullable(),
    birthsPer1000: z.number().nullable(),
    infantDeathsPer1000Births: z.number().nullable(),
    latitude: z.number().nullable(),
    longitude: z.number().nullable(),
    sessions: timetableShape.describe("The village's own days, or its post's where it has none."),
    sessionHours: z.string().nullable(),
  })
  .meta({ id: 'Village' })

function villageJson(village: Village): z.input<typeof villageShape> {
  const {
    id: villageId,
    name,
    postId,
    postName,
    population,
    birthsPer1000,
    infantDeathsPer1000Births,
  } = village
  return {
    id: villageId,
    name,
    post: { id: postId, name: postName },
    population,
    birthsPer1000,
    infantDeathsPer1000Births,
    latitude: village.latitude,
    longitude: village.longitude,
    sessions: timetableJson(village.sessions),
    sessionHours: village.sessionHours,
  }
}

const districts = route({
  method: 'get',
  path: '/v1/districts',
  tag: 'Places',
  summary: 'The districts this token may see',
  roles: READERS,
  params: none,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ districts: z.array(districtShape) }),
  contentType: 'application/json',
  district: () => null,
  handle: async ({ db, principal }) => {
    const all = await listDistricts(db)
    const own = all.filter(
      ({ id: districtId }) => principal.districtId === null || principal.districtId === districtId,
    )
    return { districts: own.map(districtJson) }
  },
})

/** A token bound to a district loads that one and makes no other. @throws {Refusal} not-allowed */
async function districtToLoad(db: Handle, principal: Principal, name: string): Promise<string | null> {
  const known = await findDistrictByName(db, name)
  if (known !== undefined || principal.districtId === null) return known?.id ?? null
  throw new Refusal('not-allowed', 'This token may load its own district only.')
}

const load = route({
  method: 'put',
  path: '/v1/districts',
  tag: 'Places',
  summary: 'Load a district with its posts, villages and people; loading the same again changes nothing',
  roles: ['officer', 'operator'],
  params: none,
  query: none,
  body: districtFile,
  status: 200,
  answer: districtShape,
  contentType: 'application/json',
  district: ({ db, principal, body }) => districtToLoad(db, principal, body.district.name),
  handle: async ({ db, deps, body }) => districtJson((await loadDistrict(db, deps, body)).district),
})

const wording = route({
  method: 'put',
  path: '/v1/districts/{districtId}/wording/{language}',
  tag: 'Places',
  summary: "Word texts in the district's own way; they pass the same checks as the phrase books",
  roles: ['officer', 'manager'],
  params: z.object({ districtId: id, language: z.string().max(20) }),
  query: none,
  body: z.object({ texts: z.record(z.string().max(60), z.string().max(1000)) }),
  status: 200,
  answer: z.object({ language: z.string(), texts: z.record(z.string(), z.string()) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { language } = params
    const district = await wordDistrict(db, deps, { ...params, ...body, by: principal.name })
    return { language, texts: { ...district.wording[language] } }
  },
})

const posts = route({
  method: 'get',
  path: '/v1/districts/{districtId}/posts',
  tag: 'Places',
  summary: 'The health posts of a district',
  roles: READERS,
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    posts: z.array(
      z.object({ id, name: z.string(), sessions: timetableShape, sessionHours: z.string().nullable() }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => {
    await getDistrict(db, params.districtId)
    const all = await listHealthPosts(db, params.districtId)
    return {
      posts: all.map(({ id: postId, name, sessions, sessionHours }) => ({
        id: postId,
        name,
        sessions: timetableJson(sessions),
        sessionHours,
      })),
    }
  },
})

const villages = route({
  method: 'get',
  path: '/v1/districts/{districtId}/villages',
  tag: 'Places',
  summary: 'The villages of a district with their session days and targets',
  roles: READERS,
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ villages: z.array(villageShape) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => {
    await getDistrict(db, params.districtId)
    return { villages: (await listVillages(db, params.districtId)).map(villageJson) }
  },
})

const change = route({
  method: 'patch',
  path: '/v1/villages/{villageId}',
  tag: 'Places',
  summary: 'Set session days and targets of a village; its children are planned again',
  roles: ['manager', 'officer'],
  params: z.object({ villageId: id }),
  query: none,
  body: z
    .object({
      population: population.nullable(),
      birthsPer1000: z.number().min(0).max(1000).nullable(),
      infantDeathsPer1000Births: z.number().min(0).max(1000).nullable(),
      sessions: z.object({
        rules: z.array(z.string().max(400)).max(20),
        extraDays: z.array(dayIn).default([]),
        exceptDays: z.array(dayIn).default([]),
      }),
    })
    .partial()
    .strict(),
  status: 200,
  answer: villageShape,
  contentType: 'application/json',
  district: async ({ db, params }) => (await getVillage(db, params.villageId)).districtId,
  handle: async ({ db, deps, principal, params, body }) =>
    villageJson(await setVillage(db, deps, { ...params, by: principal.name, change: body })),
})

const expected = route({
  method: 'get',
  path: '/v1/districts/{districtId}/appointments',
  tag: 'Appointments',
  summary: 'Who is expected from one day to another',
  roles: ['vaccinator', 'manager', 'officer', 'machine'],
  params: inDistrict,
  query: z.object({ from: dayIn, to: dayIn, village: id.optional(), post: id.optional() }),
  body: noBody,
  status: 200,
  answer: z.object({
    expected: z.array(
      z.object({
        childId: id,
        cardNumber: z.string(),
        name: z.string(),
        village: z.string(),
        sessionOn: dayOut,
        doses: z.array(plannedDoseShape).readonly(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params, query }) => {
    const { from, to, village = null, post = null } = query
    const due = await listDue(db, {
      districtId: params.districtId,
      postId: post,
      villageId: village,
      from,
      to,
    })
    return { expected: due.map((child) => ({ ...child, sessionOn: formatDay(child.sessionOn) })) }
  },
})

export const PLACE_ROUTES = [districts, load, wording, posts, villages, change, expected]
