import { z } from 'zod'
import type { Deps, Handle } from '../app/deps.ts'
import type { Principal, TokenRole } from '../app/tokens.ts'
import type { RefusalCode } from '../core/refusals.ts'

/** One call of a route, with nothing unproven in it. */
export interface Call<Params, Query, Body> {
  readonly deps: Deps
  /** The transaction of a write; the database itself for a read. */
  readonly db: Handle
  readonly principal: Principal
  /** The whole address as the caller wrote it. */
  readonly address: URL
  readonly params: Params
  readonly query: Query
  readonly body: Body
}

export type ContentType =
  'application/json' | 'application/fhir+json' | 'application/fhir+ndjson' | 'text/csv' | 'image/svg+xml'

/** Our own API, and the one that FHIR lays down. */
export type RoutePath = `/v1/${string}` | `/fhir/R4${string}`

/** 201 where something comes into being, 202 where an answer is to be fetched later. */
export type RouteStatus = 200 | 201 | 202

export type Method = 'get' | 'post' | 'put' | 'patch'

/** What a route is, said once: the server, the OpenAPI document and the role matrix read it. */
export interface RouteDefinition<
  Params extends z.ZodObject,
  Query extends z.ZodObject,
  Body extends z.ZodType,
  Answer extends z.ZodType,
> {
  readonly method: Method
  /** In OpenAPI form: `/v1/children/{childId}`. */
  readonly path: RoutePath
  readonly tag: string
  readonly summary: string
  /** Who may call it; nobody else learns whether it exists. */
  readonly roles: readonly TokenRole[]
  readonly params: Params
  readonly query: Query
  readonly body: Body
  readonly status: RouteStatus
  readonly answer: Answer
  /** Answers other than JSON are strings; NDJSON is an async iterable of its lines. */
  readonly contentType: ContentType
  /** Headers of the answer beyond the usual ones. */
  readonly headers?: (body: unknown) => Readonly<Record<string, string>>
  /**
   * The district a call is about, which the caller must be allowed into; `null` where a call is about none.
   * This is the only place where a route says so, and the server enforces it before the route runs.
   */
  readonly district: (
    call: Call<z.output<Params>, z.output<Query>, z.output<Body>>,
  ) => Promise<string | null> | string | null
  readonly handle: (call: Call<z.output<Params>, z.output<Query>, z.output<Body>>) => Promise<z.input<Answer>>
}

/** What a call is told where the record it names is nowhere, or in a district that is not the caller's. */
const MISSING: Readonly<Record<string, RefusalCode>> = {
  childId: 'child-not-found',
  doseId: 'dose-not-found',
  villageId: 'village-not-found',
  vialId: 'vial-not-found',
  id: 'resource-not-found',
  itemId: 'double-not-found',
  mergeId: 'merge-not-found',
  webhookId: 'webhook-not-found',
  personId: 'person-not-found',
  tokenId: 'resource-not-found',
}

function missingOf({
  params,
  body,
}: {
  readonly params: z.ZodObject
  readonly body: z.ZodType
}): RefusalCode {
  const inBody = body instanceof z.ZodObject && 'villageId' in body.shape ? ['villageId'] : []
  const named = [...Object.keys(params.shape), ...inBody].find((name) => name in MISSING)
  return MISSING[named ?? ''] ?? 'district-not-found'
}

/** A route whose own types are no longer of interest. */
export interface Route {
  readonly method: Method
  readonly path: RoutePath
  readonly tag: string
  readonly summary: string
  readonly roles: readonly TokenRole[]
  readonly params: z.ZodObject
  readonly query: z.ZodObject
  readonly body: z.ZodType
  readonly status: RouteStatus
  readonly answer: z.ZodType
  readonly contentType: ContentType
  readonly headers?: (body: unknown) => Readonly<Record<string, string>>
  readonly missing: RefusalCode
  readonly prepare: (input: UnprovenCall) => Prepared
}

export interface UnprovenCall {
  readonly params: unknown
  readonly query: unknown
  readonly body: unknown
}

/** A call whose input is proven: first its district is asked for, then it is handled. */
export interface Prepared {
  readonly district: (context: CallContext) => Promise<string | null>
  readonly handle: (context: CallContext) => Promise<unknown>
}

export type CallContext = Pick<Call<never, never, never>, 'deps' | 'db' | 'principal' | 'address'>

/** Makes a route from its definition. */
export function route<
  Params extends z.ZodObject,
  Query extends z.ZodObject,
  Body extends z.ZodType,
  Answer extends z.ZodType,
>(definition: RouteDefinition<Params, Query, Body, Answer>): Route {
  const { district, handle, ...shape } = definition
  return {
    ...shape,
    missing: missingOf(definition),
    prepare: (input) => {
      const proven = proveInput(definition, input)
      return {
        district: async (context) => district({ ...context, ...proven }),
        handle: (context) => handle({ ...context, ...proven }),
      }
    },
  }
}

/** @throws {InputProblem} when a part of the call does not have its shape */
function proveInput<Params extends z.ZodObject, Query extends z.ZodObject, Body extends z.ZodType>(
  shapes: { readonly params: Params; readonly query: Query; readonly body: Body },
  input: UnprovenCall,
) {
  const params = shapes.params.safeParse(input.params)
  const query = shapes.query.safeParse(input.query)
  const body = shapes.body.safeParse(input.body)
  if (params.success && query.success && body.success) {
    return { params: params.data, query: query.data, body: body.data }
  }
  throw new InputProblem([
    ...issuesOf('path', params.error),
    ...issuesOf('query', query.error),
    ...issuesOf('body', body.error),
  ])
}

export interface InputIssue {
  readonly where: string
  readonly message: string
}

function issuesOf(part: string, error: z.ZodError | undefined): InputIssue[] {
  return (error?.issues ?? []).map((issue) => ({
    where: [part, ...issue.path.map(String)].join('.'),
    message: issue.message,
  }))
}

/** The call does not have the shape the route asks for; lists everything that is wrong at once. */
export class InputProblem extends Error {
  override readonly name = 'InputProblem'
  readonly issues: readonly InputIssue[]

  constructor(issues: readonly InputIssue[]) {
    super('the request does not have the right shape')
    this.issues = issues
  }
}
