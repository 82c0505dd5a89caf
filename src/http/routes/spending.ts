import { z } from 'zod'
import { setSpending, spendingOf, spendingReport } from '../../app/spending.ts'
import { getDistrict } from '../../app/views.ts'
import { spendingSchema } from '../../core/delivery/spending.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const ofDistrict = z.object({ districtId: id })
const spendingShape = spendingSchema.meta({ id: 'Spending' })

const report = route({
  method: 'get',
  path: '/v1/districts/{districtId}/message-report',
  tag: 'Messages',
  summary:
    'Texts, parts, cost and what arrived in a month, by village and operator, and where the budget stands',
  roles: ['manager', 'officer', 'operator'],
  params: ofDistrict,
  query: z.object({
    month: z
      .string()
      .regex(/^[1-9]\d{3}-(0[1-9]|1[0-2])$/)
      .optional()
      .describe('As 2026-03; this month where left out.'),
  }),
  body: noBody,
  status: 200,
  answer: z.object({
    month: z.string(),
    currency: z.string(),
    budget: z.object({
      partsPerMonth: z.int().nullable(),
      parts: z.int(),
      share: z.number().nullable(),
      isWarned: z.boolean(),
    }),
    rows: z.array(
      z.object({
        village: z.string().nullable(),
        operator: z.string().nullable(),
        texts: z.int(),
        parts: z.int(),
        cost: z.number(),
        deliveredPercent: z.number().nullable(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, query }) => {
    const district = await getDistrict(db, params.districtId)
    const { rows, ...made } = await spendingReport(db, deps, district, query.month ?? null)
    return { ...made, rows: [...rows] }
  },
})

const read = route({
  method: 'get',
  path: '/v1/districts/{districtId}/spending',
  tag: 'Messages',
  summary: 'What texts may take in a month, what is left out first, and what a part costs',
  roles: ['manager', 'officer', 'operator'],
  params: ofDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: spendingShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params }) => spendingOf(db, deps.shelf, params.districtId),
})

const set = route({
  method: 'put',
  path: '/v1/districts/{districtId}/spending',
  tag: 'Messages',
  summary: 'Set the budget and the prices; the next hand-over follows them',
  roles: ['manager', 'officer'],
  params: ofDistrict,
  query: none,
  body: spendingShape,
  status: 200,
  answer: spendingShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await setSpending(db, deps, { ...params, spending: body, by: principal.name })
    return body
  },
})

export const SPENDING_ROUTES = [report, read, set]
