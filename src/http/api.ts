import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { Router } from 'express'
import type { Request, RequestHandler, Response } from 'express'
import { z } from 'zod'
import type { Deps } from '../app/deps.ts'
import { answerOnce } from '../app/keep-answer.ts'
import { principalOf } from '../app/tokens.ts'
import type { Principal } from '../app/tokens.ts'
import { Refusal } from '../core/refusals.ts'
import type { CallContext, ContentType, Prepared, Route } from './route.ts'

/** Serves the routes: authenticates, proves the input, keeps callers inside their district, answers. */
export function apiRouter(deps: Deps, routes: readonly Route[]): Router {
  const router = Router()
  for (const each of routes) router[each.method](expressPath(each.path), serve(deps, each))
  return router
}

/** `/v1/children/{childId}` as Express writes it. */
function expressPath(path: string): string {
  return path.replace(/\{(\w+)\}/g, ':$1')
}

function serve(deps: Deps, each: Route): RequestHandler {
  return async function serveRoute(request: Request, response: Response) {
    const principal = await authenticate(deps, request)
    if (!each.roles.includes(principal.role)) {
      throw new Refusal(
        'not-allowed',
        `A ${principal.role} token may not do this; ask for one of: ${each.roles.join(', ')}.`,
      )
    }
    const body: unknown = request.body
    const prepared = each.prepare({ params: request.params, query: request.query, body })
    const answer =
      each.method === 'get'
        ? await readAnswer({ deps, db: deps.database.db, principal, address: addressOf(request) }, prepared)
        : await writeAnswer(deps, principal, { each, prepared, request })
    response.status(answer.status ?? each.status).type(`${each.contentType}; charset=utf-8`)
    response.set(each.headers?.(addressOf(request)) ?? {})
    await send(response, each.contentType, answer.body)
  }
}

/** Lines go out one by one, as fast as the other side takes them. */
async function send(response: Response, contentType: ContentType, body: unknown): Promise<void> {
  if (contentType === 'application/fhir+ndjson') {
    // The type of such routes: their answers are lines.
    await pipeline(Readable.from(body as AsyncIterable<string>), response)
  } else response.send(contentType.endsWith('json') ? JSON.stringify(body) : String(body))
}

/** Where the caller found us, for links that lead back. */
function addressOf(request: Request): URL {
  return new URL(request.originalUrl, `${request.protocol}://${request.get('host') ?? 'localhost'}`)
}

async function authenticate(deps: Deps, request: Request): Promise<Principal> {
  const [scheme, secret] = (request.headers.authorization ?? '').split(' ')
  const principal =
    scheme?.toLowerCase() === 'bearer' && secret !== undefined ? await principalOf(deps, secret) : undefined
  if (principal !== undefined) return principal
  throw new Refusal(
    'not-signed-in',
    'Send a valid token as "Authorization: Bearer …"; an operator makes one with `duebell token`.',
  )
}

interface Answered {
  readonly status?: number
  readonly body: unknown
}

async function readAnswer(context: CallContext, prepared: Prepared): Promise<Answered> {
  enter(context.principal, await prepared.district(context))
  return { body: await prepared.handle(context) }
}

interface Write {
  readonly each: Route
  readonly prepared: Prepared
  readonly request: Request
}

const idempotencyKey = z.string().min(1).max(200).optional()

/** A write is one transaction; with an Idempotency-Key it is done once. */
async function writeAnswer(
  deps: Deps,
  principal: Principal,
  { each, prepared, request }: Write,
): Promise<Answered> {
  const key = idempotencyKey.safeParse(request.get('idempotency-key'))
  if (!key.success) throw new Refusal('input-invalid', 'An Idempotency-Key has 1 to 200 characters.')
  return deps.database.transaction(async (tx) => {
    const context = { deps, db: tx, principal, address: addressOf(request) }
    enter(principal, await prepared.district(context))
    if (key.data === undefined) return { body: await prepared.handle(context) }
    const keyed = {
      tokenId: principal.id,
      key: key.data,
      request: JSON.stringify([request.method, request.originalUrl, request.body]),
      status: each.status,
    }
    return answerOnce(tx, deps, keyed, async () => z.json().parse(await prepared.handle(context)))
  })
}

/** Callers bound to a district never see another one: it is not there for them. */
function enter(principal: Principal, districtId: string | null): void {
  if (districtId === null || principal.districtId === null || principal.districtId === districtId) return
  throw new Refusal('not-allowed', 'This token belongs to another district.')
}
