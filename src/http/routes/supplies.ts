import { z } from 'zod'
import { importLogger } from '../../app/cold-chain/import-logger.ts'
import { noteTemperature } from '../../app/cold-chain/note-temperature.ts'
import { postIn } from '../../app/post-in.ts'
import { needOfPost } from '../../app/supplies/session-need.ts'
import { countStock } from '../../app/supplies/stock-on-hand.ts'
import { ledgerInVials } from '../../core/vials/stock-ledger.ts'
import { watchStock } from '../../app/supplies/watch-stock.ts'
import { getDistrict } from '../../app/views.ts'
import { formatDay } from '../../core/days/day.ts'
import { CLOSED_DISCARD_REASONS } from '../../core/vials/discard-reason.ts'
import { route } from '../route.ts'
import { dayOut, id, noBody, none } from '../shapes.ts'

const STAFF = ['vaccinator', 'manager', 'officer', 'machine'] as const
const inDistrict = z.object({ districtId: id })
const fridge = z.string().trim().min(1).max(40).default('1')

const temperature = route({
  method: 'post',
  path: '/v1/districts/{districtId}/temperatures',
  tag: 'Cold chain',
  summary: "Note a refrigerator's temperature; the answer says what to do with which opened vials",
  roles: STAFF,
  params: inDistrict,
  query: none,
  body: z.object({
    postId: id,
    fridge,
    celsius: z.number().min(-90).max(60),
    readAt: z.iso.datetime({ offset: true }).optional().describe('Left out: now.'),
  }),
  status: 201,
  answer: z.object({
    id,
    side: z.enum(['cold', 'warm']).nullable().describe('Null: between 2 and 8 °C.'),
    advice: z.array(z.object({ sentence: z.string(), vials: z.array(z.string()).readonly() })),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { readAt, postId, ...rest } = body
    const noted = await noteTemperature(db, deps, {
      ...rest,
      district: await getDistrict(db, params.districtId),
      postId: (await postIn(db, params.districtId, postId)).id,
      at: readAt === undefined ? deps.clock.now() : new Date(readAt),
      by: principal.name,
      via: 'api',
      textInId: null,
    })
    return {
      id: noted.id,
      side: noted.side,
      advice: [...noted.vials].map(([sentence, vials]) => ({ sentence, vials })),
    }
  },
})

const logger = route({
  method: 'post',
  path: '/v1/districts/{districtId}/temperatures/logger',
  tag: 'Cold chain',
  summary: "Take over a logger's table; importing it again changes nothing",
  roles: STAFF,
  params: inDistrict,
  query: none,
  body: z.object({
    postId: id,
    fridge,
    columns: z.object({ time: z.string().max(80), celsius: z.string().max(80) }),
    csv: z.string().max(2_000_000),
  }),
  status: 201,
  answer: z.object({
    stored: z.int(),
    problems: z
      .array(z.object({ line: z.int(), column: z.string(), value: z.string(), code: z.string() }))
      .readonly(),
    excursions: z.array(
      z.object({
        code: z.string(),
        worstC: z.number(),
        fromAt: z.iso.datetime(),
        untilAt: z.iso.datetime(),
        readings: z.int(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const { postId, ...rest } = body
    const { stored, problems, excursions } = await importLogger(db, deps, {
      ...rest,
      district: await getDistrict(db, params.districtId),
      postId: (await postIn(db, params.districtId, postId)).id,
      by: principal.name,
    })
    return {
      stored,
      problems,
      excursions: excursions.map((each) => ({
        ...each,
        fromAt: each.fromAt.toISOString(),
        untilAt: each.untilAt.toISOString(),
      })),
    }
  },
})

const count = route({
  method: 'post',
  path: '/v1/districts/{districtId}/stock',
  tag: 'Supplies',
  summary: 'Note what a post counted, received, threw away closed, carried to a session or brought back',
  roles: STAFF,
  params: inDistrict,
  query: none,
  body: z.object({
    postId: id,
    counts: z
      .array(
        z.object({
          vaccine: z.string().max(20),
          count: z.int().min(0).max(1_000_000),
          unit: z.enum(['vials', 'doses']).default('vials'),
          kind: z
            .enum(['counted', 'received', 'discarded-closed', 'taken-out', 'brought-back'])
            .default('counted')
            .describe('Taken out: to a session; it is no loss of the post.'),
          lot: z.string().trim().min(1).max(40).optional().describe('Where left out, the lot is not known.'),
        }),
      )
      .min(1)
      .max(60),
    reason: z.enum(CLOSED_DISCARD_REASONS).nullable().default(null).describe('Of vials thrown away closed.'),
  }),
  status: 201,
  answer: z.object({ short: z.string().describe('What the next session lacks; empty: nothing.') }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    const district = await getDistrict(db, params.districtId)
    const postId = (await postIn(db, district.id, body.postId)).id
    const facts = { at: deps.clock.now(), by: principal.name, via: 'api', textInId: null } as const
    await countStock(db, deps, { district, postId, counts: body.counts, reason: body.reason, ...facts })
    return { short: await watchStock(db, deps, { district, postId }) }
  },
})

const vialLedger = z.object({
  broughtIn: z.int(),
  corrected: z.int(),
  inStore: z.int(),
  out: z.int(),
  opened: z.int(),
  closedWaste: z.int(),
})
const range = z.object({ low: z.int(), expected: z.int(), high: z.int() })

const needs = route({
  method: 'get',
  path: '/v1/districts/{districtId}/needs',
  tag: 'Supplies',
  summary: 'Vials a post needs for its next session and its month, against its store',
  roles: STAFF,
  params: inDistrict,
  query: z.object({ post: id }),
  body: noBody,
  status: 200,
  answer: z.object({
    sessionOn: dayOut.nullable(),
    attendance: z
      .object({ low: z.number(), expected: z.number(), high: z.number() })
      .describe('Share of those due who come: of the last sessions of the post, or the planning range.'),
    carry: z.string(),
    carryOpened: z.array(z.int()).readonly().describe('Numbers of the opened vials that are carried first.'),
    materials: z.object({
      syringes: z.array(z.object({ ml: z.number(), count: z.int() })).readonly(),
      diluents: z.int(),
      safetyBoxes: z.int(),
    }),
    needs: z.array(
      z.object({
        vaccine: z.string(),
        product: z.string(),
        due: z.int(),
        session: range,
        month: range,
        openVials: z.int(),
        openNumber: z.int().nullable().describe('The opened vial to be discarded first.'),
        carry: z.int(),
        onHand: z.int().nullable(),
        ledger: vialLedger
          .extend({
            lots: z
              .array(vialLedger.extend({ lot: z.string().nullable() }))
              .readonly()
              .describe('The same of each lot; null: vials of which no lot was told.'),
          })
          .nullable()
          .describe(
            'In vials; brought in + corrected = in store + out at a session + opened + closed waste.',
          ),
        level: z.enum(['out', 'short', 'low', 'enough']).nullable(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, query }) => {
    const district = await getDistrict(db, params.districtId)
    const post = await postIn(db, district.id, query.post)
    const need = await needOfPost(db, deps, { district, post })
    return {
      sessionOn: need.on === null ? null : formatDay(need.on),
      attendance: need.attendance,
      carry: need.carry,
      carryOpened: need.carryOpened,
      materials: need.materials,
      needs: need.needs.map(({ product, stock, ledger, ...rest }) => ({
        ...rest,
        product: product.code,
        ledger: ledger === null ? null : { ...ledgerInVials(ledger), lots: ledger.lots },
        level: stock?.level ?? null,
      })),
    }
  },
})

export const SUPPLY_ROUTES = [temperature, logger, count, needs]
