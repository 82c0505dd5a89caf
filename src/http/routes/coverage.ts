import { z } from 'zod'
import { areaCsv, areaJson, coverageCsv, coverageJson } from '../../app/coverage-file.ts'
import { todayIn } from '../../app/deps.ts'
import type { Deps, Handle } from '../../app/deps.ts'
import { reportAreaCoverage } from '../../app/report-area-coverage.ts'
import type { AreaReport } from '../../app/report-area-coverage.ts'
import { reportCoverage } from '../../app/report-coverage.ts'
import { reportBirthDoses } from '../../app/report-birth-doses.ts'
import { BREAKDOWNS, reportDosesGiven } from '../../app/report-doses-given.ts'
import { reportDropout } from '../../app/report-dropout.ts'
import { reportNewbornEnrolment } from '../../app/report-newborn-enrolment.ts'
import { reportSameDay } from '../../app/report-same-day.ts'
import type { CoverageQuestion } from '../../app/report-coverage.ts'
import { getDistrict } from '../../app/views.ts'
import { windowOf } from '../../core/coverage/report-window.ts'
import type { ReportWindow } from '../../core/coverage/report-window.ts'
import { Refusal } from '../../core/refusals.ts'
import { route } from '../route.ts'
import { dayIn, id, noBody } from '../shapes.ts'

const inDistrict = z.object({ districtId: id })
const READERS = ['manager', 'officer', 'machine'] as const

const wish = z.object({
  cohort: z
    .string()
    .regex(/^[12]\d{3}$/, 'Write a year as 2025.')
    .transform(Number)
    .optional()
    .describe('Children born in this year. Without it or a period: the whole register.'),
  from: dayIn.optional().describe('Doses given from this day on.'),
  to: dayIn.optional().describe('Doses given up to this day, itself included.'),
})

const question = wish.extend({
  byAge: z.enum(['12m', '24m', 'any']).default('any'),
  measure: z.enum(['crude', 'valid', 'timely']).default('crude'),
  denominator: z.enum(['administrative', 'enrolled']).default('administrative'),
  by: z.enum(['village', 'area']).default('village').describe('Areas add up their villages.'),
  level: z.coerce
    .number()
    .int()
    .min(1)
    .max(20)
    .optional()
    .describe('By area: only areas of this level, 1 at the top. Left out: each area before its parts.'),
  shape: z
    .enum(['then', 'now'])
    .default('then')
    .describe('By area: as areas were drawn when the doses were given, or as they are today.'),
})

/** Coverage by area as of today. */
async function byArea(
  { db, deps }: { readonly db: Handle; readonly deps: Deps },
  districtId: string,
  query: z.output<typeof question>,
): Promise<AreaReport> {
  const { level = null, shape: shown } = query
  const asOf = todayIn(deps, await getDistrict(db, districtId))
  return reportAreaCoverage(db, deps.shelf, { ...asked(districtId, query), level, shown, asOf })
}

/** @throws {Refusal} input-invalid */
function asked(districtId: string, query: z.output<typeof question>): CoverageQuestion {
  const { byAge, measure, denominator } = query
  return { districtId, window: windowAsked(query), byAge, measure, denominator }
}

/** @throws {Refusal} input-invalid */
function windowAsked(query: z.output<typeof wish>): ReportWindow {
  const window = windowOf(query)
  if (window !== undefined) return window
  throw new Refusal('input-invalid', 'Name a cohort, or a period by from and to in this order, or neither.')
}

const asJson = route({
  method: 'get',
  path: '/v1/districts/{districtId}/coverage',
  tag: 'Coverage',
  summary: 'Coverage by village or area and series dose, then for the district as a whole',
  roles: READERS,
  params: inDistrict,
  query: question,
  body: noBody,
  status: 200,
  answer: z.json(),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params: { districtId }, query }) =>
    z
      .json()
      .parse(
        query.by === 'area'
          ? areaJson(await byArea({ db, deps }, districtId, query))
          : coverageJson(await reportCoverage(db, deps.shelf, asked(districtId, query))),
      ),
})

const asCsv = route({
  method: 'get',
  path: '/v1/districts/{districtId}/coverage.csv',
  tag: 'Coverage',
  summary: 'The same as a CSV file (RFC 4180)',
  roles: READERS,
  params: inDistrict,
  query: question,
  body: noBody,
  status: 200,
  answer: z.string(),
  contentType: 'text/csv',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params: { districtId }, query }) =>
    query.by === 'area'
      ? areaCsv(await byArea({ db, deps }, districtId, query))
      : coverageCsv(await reportCoverage(db, deps.shelf, asked(districtId, query))),
})

const dosesGiven = route({
  method: 'get',
  path: '/v1/districts/{districtId}/doses-given',
  tag: 'Coverage',
  summary: 'Doses given in a period, broken down by one of their parts, which add up to the total',
  roles: READERS,
  params: inDistrict,
  query: z.object({ from: dayIn, to: dayIn, by: z.enum(BREAKDOWNS).default('village') }),
  body: noBody,
  status: 200,
  answer: z.object({
    parts: z.array(z.object({ part: z.string(), doses: z.int() })),
    total: z.int(),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params, query: { from, to, by } }) => {
    const { parts, total } = await reportDosesGiven(db, params.districtId, { fromOn: from, toOn: to, by })
    return { parts: [...parts], total }
  },
})

const birthDoses = route({
  method: 'get',
  path: '/v1/districts/{districtId}/birth-doses',
  tag: 'Coverage',
  summary: 'Birth doses within 24 hours, later, and those of which the record does not tell',
  roles: READERS,
  params: inDistrict,
  query: z.object({
    from: dayIn.describe('First day of birth.'),
    to: dayIn.describe('Last day of birth.'),
    vaccine: z.string().max(20).default('HEPB'),
  }),
  body: noBody,
  status: 200,
  answer: z.object({ births: z.int(), withinADay: z.int(), later: z.int(), unknown: z.int() }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: ({ db, params, query: { from, to, vaccine } }) =>
    reportBirthDoses(db, params.districtId, { fromOn: from, toOn: to, vaccine }),
})

const sameDay = route({
  method: 'get',
  path: '/v1/districts/{districtId}/same-day',
  tag: 'Coverage',
  summary:
    'Of the children who had two doses that are due together, those who had them on one day, by village',
  roles: READERS,
  params: inDistrict,
  query: wish,
  body: noBody,
  status: 200,
  answer: z.object({
    rows: z.array(
      z.object({
        village: z.string(),
        pair: z.string(),
        sameDay: z.int(),
        hadBoth: z.int(),
        percent: z.number().nullable(),
        flags: z.array(z.string()),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params: { districtId }, query }) => {
    const rows = await reportSameDay(db, deps.shelf, { districtId, window: windowAsked(query) })
    return {
      rows: rows.map(({ village, pair, numerator: sameDay, denominator, percent, flags }) => {
        return { village, pair, sameDay, hadBoth: denominator ?? 0, percent, flags: [...flags] }
      }),
    }
  },
})

const dropout = route({
  method: 'get',
  path: '/v1/districts/{districtId}/dropout',
  tag: 'Coverage',
  summary: 'Of those who had a first dose, how many lack a later one: by village, pair of doses and reading',
  roles: READERS,
  params: inDistrict,
  query: wish,
  body: noBody,
  status: 200,
  answer: z.object({
    rows: z.array(
      z.object({
        village: z.string(),
        pair: z.string(),
        reading: z.enum(['cohort', 'period']),
        first: z.int(),
        later: z.int(),
        dropped: z.int(),
        percent: z.number().nullable(),
        flags: z.array(z.string()).readonly(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params: { districtId }, query }) => {
    const asOf = todayIn(deps, await getDistrict(db, districtId))
    return {
      rows: [...(await reportDropout(db, deps.shelf, { districtId, window: windowAsked(query), asOf }))],
    }
  },
})

const newbornEnrolment = route({
  method: 'get',
  path: '/v1/districts/{districtId}/newborn-enrolment',
  tag: 'Coverage',
  summary: 'How soon the children born in a period came on the register, by village',
  roles: READERS,
  params: inDistrict,
  query: z.object({ from: dayIn, to: dayIn }),
  body: noBody,
  status: 200,
  answer: z.object({
    rows: z
      .array(
        z.object({
          village: z.string(),
          total: z.int(),
          within: z.array(z.object({ limitDays: z.int(), count: z.int() })).readonly(),
          medianDays: z.number().nullable(),
        }),
      )
      .readonly(),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params: { districtId }, query: { from, to } }) => {
    const born = { fromOn: from, toOn: to }
    return { rows: await reportNewbornEnrolment(db, deps.shelf, { districtId, born }) }
  },
})

export const COVERAGE_ROUTES = [asJson, asCsv, dosesGiven, birthDoses, sameDay, dropout, newbornEnrolment]
