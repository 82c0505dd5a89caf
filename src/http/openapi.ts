import { createDocument } from 'zod-openapi'
import type { ZodOpenApiOperationObject, ZodOpenApiPathsObject } from 'zod-openapi'
import { z } from 'zod'
import { REFUSALS } from '../core/refusals.ts'
import { resourceShape } from './fhir/shapes.ts'
import type { Route } from './route.ts'

const problemShape = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    code: z.string().describe(`One of: ${Object.keys(REFUSALS).join(', ')}.`),
    detail: z.string().describe('What to do about it.'),
  })
  .loose()
  .meta({ id: 'Problem', description: 'A problem document (RFC 9457).' })

const idempotencyKey = z
  .string()
  .min(1)
  .max(200)
  .optional()
  .describe('The same key with the same request is done once and answered alike.')

/** The OpenAPI 3.1 document of the routes, made from the very shapes that guard them. */
export function openApiDocument(routes: readonly Route[], version: string) {
  const paths: ZodOpenApiPathsObject = {}
  for (const each of routes) {
    paths[each.path] = { ...paths[each.path], [each.method]: operation(each) }
  }
  return createDocument({
    openapi: '3.1.0',
    info: {
      title: 'Duebell',
      version,
      description:
        'Keeps children from missing vaccines. Days are YYYY-MM-DD without a time zone, instants ISO 8601 in UTC. ' +
        'The national schedule and licensed practice prevail over anything computed here.',
    },
    security: [{ token: [] }],
    components: { securitySchemes: { token: { type: 'http', scheme: 'bearer' } } },
    paths,
  })
}

function operation(each: Route): ZodOpenApiOperationObject {
  const isWrite = each.method !== 'get'
  return {
    tags: [each.tag],
    summary: each.summary,
    description: `For: ${each.roles.join(', ')}.`,
    requestParams: {
      ...(Object.keys(each.params.shape).length > 0 ? { path: each.params } : {}),
      ...(Object.keys(each.query.shape).length > 0 ? { query: each.query } : {}),
      ...(isWrite ? { header: z.object({ 'Idempotency-Key': idempotencyKey }) } : {}),
    },
    ...(isWrite
      ? { requestBody: { required: true, content: { [bodyTypeOf(each)]: { schema: each.body } } } }
      : {}),
    responses: {
      [String(each.status)]: {
        description: 'Done.',
        content: { [each.contentType]: { schema: each.answer } },
      },
      default: {
        description: 'Not done.',
        content: isFhir(each)
          ? { 'application/fhir+json': { schema: resourceShape } }
          : { 'application/problem+json': { schema: problemShape } },
      },
    },
  }
}

const isFhir = ({ path }: Route): boolean => path.startsWith('/fhir/')

const bodyTypeOf = (each: Route) => (isFhir(each) ? 'application/fhir+json' : 'application/json')
