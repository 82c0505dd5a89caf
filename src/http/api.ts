import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { Router } from 'express'
import type { Request, RequestHandler, Response } from 'express'
import { z } from 'zod'
import type { Deps } from '../app/deps.ts'
import { answerOnce } from '../app/keep-answer.ts'
import { noteHandedOut } from '../app/audit/note-handed-out.ts'
import { principalOf } from '../app/tokens.ts'
import type { Principal } from '../app/tokens.ts'
import { Refusal, REFUSALS } from '../core/refusals.ts'
import { noteWhenRefused } from './refused-access.ts'
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
    const seen = { actor: principal.name, districtId: principal.districtId }
    noteWhenRefused(response, seen)
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
        ? await readAnswer(deps, principal, { each, prepared, request })
        : await writeAnswer(deps, principal, { each, prepared, request })
    response.status(answer.status ?? each.status).type(`${each.contentType}; charset=utf-8`)
    response.set(each.headers?.(answer.body) ?? {})
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

async function readAnswer(
  deps: Deps,
  principal: Principal,
  { each, prepared, request }: Asked,
): Promise<Answered> {
  const context = { deps, db: deps.database.db, principal, address: addressOf(request) }
  const districtId = await enter(each, prepared, context)
  const body = await prepared.handle(context)
  await noteCall(context, { each, request, districtId, body })
  return { body }
}

interface Asked {
  readonly each: Route
  readonly prepared: Prepared
  readonly request: Request
}

const idempotencyKey = z.string().min(1).max(200).optional()

/** A write is one transaction; with an Idempotency-Key it is done once. */
async function writeAnswer(
  deps: Deps,
  principal: Principal,
  { each, prepared, request }: Asked,
): Promise<Answered> {
  const key = idempotencyKey.safeParse(request.get('idempotency-key'))
  if (!key.success) throw new Refusal('input-invalid', 'An Idempotency-Key has 1 to 200 characters.')
  return deps.database.transaction(async (tx) => {
    const context = { deps, db: tx, principal, address: addressOf(request) }
    const districtId = await enter(each, prepared, context)
    const handle = async (): Promise<unknown> => {
      const body = await prepared.handle(context)
      await noteCall(context, { each, request, districtId, body })
      return body
    }
    if (key.data === undefined) return { body: await handle() }
    const keyed = {
      tokenId: principal.id,
      key: key.data,
      request: JSON.stringify([request.method, request.originalUrl, request.body]),
      status: each.status,
    }
    return answerOnce(tx, deps, keyed, async () => z.json().parse(await handle()))
  })
}

/** What would tell a caller of one district what there is in others. */
const HIDDEN: ReadonlySet<number> = new Set([403, 404])

/**
 * The district a call is about. Callers bound to one never see another: what is there answers as what is nowhere does,
 * so that nobody learns what exists elsewhere.
 */
async function enter(each: Route, prepared: Prepared, context: CallContext): Promise<string | null> {
  const bound = context.principal.districtId
  try {
    const districtId = await prepared.district(context)
    if (districtId === null || bound === null || bound === districtId) return districtId
  } catch (error) {
    if (bound === null || !(error instanceof Refusal) || !HIDDEN.has(REFUSALS[error.code].status)) throw error
  }
  throw new Refusal(each.missing, 'There is none of this identifier or name here; check it.')
}

/** Keeps who saw or did what, by the route and what its address names, and of which children the answer told. */
async function noteCall(
  { deps, db, principal }: CallContext,
  {
    each,
    request,
    districtId,
    body,
  }: Pick<Asked, 'each' | 'request'> & { readonly districtId: string | null; readonly body: unknown },
): Promise<void> {
  const { childId } = z.object({ childId: z.uuid().optional() }).parse(request.params)
  const change = {
    districtId,
    actor: principal.name,
    act: each.method === 'get' ? 'view' : 'call',
    subject: childId === undefined ? { kind: 'district', id: districtId } : { kind: 'child', id: childId },
    // The path has identifiers in it; what was searched for may be a name or a number.
    after: { page: `${request.method} ${request.path}` },
  }
  await noteHandedOut(db, deps, change, wordsOf(body))
}

/** An answer as it goes out; lines that go out one by one keep by themselves whom they name. */
const wordsOf = (body: unknown): string => (typeof body === 'string' ? body : JSON.stringify(body ?? null))
