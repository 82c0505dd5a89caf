import { z } from 'zod'
import { giveToken, takeTokenBack, tokensOf } from '../../app/give-token.ts'
import { getDistrict } from '../../app/views.ts'
import { TOKEN_ROLES } from '../../core/rights/token-role.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const GIVERS = ['manager', 'officer'] as const
const inDistrict = z.object({ districtId: id })
const instant = z.iso.datetime()

const make = route({
  method: 'post',
  path: '/v1/districts/{districtId}/tokens',
  tag: 'Tokens',
  summary: 'Makes a token for a lower role in this district; the secret is shown this once',
  roles: GIVERS,
  params: inDistrict,
  query: none,
  body: z.object({
    name: z.string().trim().min(1).max(100).describe('Who or what will use it.'),
    role: z.enum(TOKEN_ROLES),
    days: z.int().min(1).max(365).default(365).describe("It ends with its giver's token at the latest."),
  }),
  status: 201,
  answer: z.object({ id, secret: z.string(), expiresAt: instant }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, body, principal }) => {
    await getDistrict(db, params.districtId)
    const { expiresAt, ...made } = await giveToken(db, deps, { giver: principal, ...params, ...body })
    return { ...made, expiresAt: expiresAt.toISOString() }
  },
})

const list = route({
  method: 'get',
  path: '/v1/districts/{districtId}/tokens',
  tag: 'Tokens',
  summary: 'The tokens of this district, with their last use; never a secret',
  roles: GIVERS,
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    tokens: z.array(
      z.object({
        id,
        name: z.string(),
        role: z.enum(TOKEN_ROLES),
        createdAt: instant,
        expiresAt: instant.nullable(),
        revokedAt: instant.nullable(),
        lastUsedAt: instant.nullable(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => {
    await getDistrict(db, params.districtId)
    const tokens = await tokensOf(db, params.districtId)
    return {
      tokens: tokens.map(({ id: tokenId, name, role, createdAt, expiresAt, revokedAt, lastUsedAt }) => ({
        id: tokenId,
        name,
        role,
        createdAt: createdAt.toISOString(),
        expiresAt: expiresAt?.toISOString() ?? null,
        revokedAt: revokedAt?.toISOString() ?? null,
        lastUsedAt: lastUsedAt?.toISOString() ?? null,
      })),
    }
  },
})

const end = route({
  method: 'post',
  path: '/v1/districts/{districtId}/tokens/{tokenId}/end',
  tag: 'Tokens',
  summary: 'Ends a token of a lower role at once, and every page session opened with it',
  roles: GIVERS,
  params: z.object({ districtId: id, tokenId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({ done: z.literal(true) }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, principal }) => {
    await takeTokenBack(db, deps, { ender: principal, ...params })
    return { done: true as const }
  },
})

export const TOKEN_ROUTES = [make, list, end]
